import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage } from 'node:http';

/** What a request must show to be let in. */
export interface Gate {
  readonly port: number;
  readonly token: string;
  /** Tokens good for opening the page once: they stood on a command line, where others on the machine can read them. */
  readonly once: Set<string>;
}

export interface Refusal {
  readonly status: 400 | 401 | 403 | 405 | 415 | 421;
  readonly message: string;
}

/** Cookies do not tell ports apart, so the name does: two pages open at once keep their own. */
export const cookieName = (port: number): string => `vialapse-rig-${port}`;

/** Equal in a time that does not depend on where they differ. */
export function sameToken(given: string, token: string): boolean {
  const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(given), digest(token));
}

function cookieOf(request: IncomingMessage, name: string): string | null {
  for (const part of (request.headers.cookie ?? '').split(';')) {
    const [key, ...value] = part.trim().split('=');
    if (key === name) return value.join('=');
  }
  return null;
}

/**
 * Why a request is not let in; `null`: it is. In order:
 * the Host must be ours (a name that an attacker points at 127.0.0.1 is not), the method known, the origin our own
 * where one is told (SameSite cookies do not help against other ports of this machine) and told for every change, and
 * the token right: in the cookie, the header, or once in the address of the page itself.
 */
export function refusalOf(request: IncomingMessage, url: URL, gate: Gate): Refusal | null {
  const host = `127.0.0.1:${gate.port}`;
  if (request.headers.host !== host) return { status: 421, message: 'This server answers under its own address only.' };
  if (request.method !== 'GET' && request.method !== 'POST') return { status: 405, message: 'GET and POST only.' };
  const { origin } = request.headers;
  const opening = request.method === 'GET' && url.pathname === '/';
  if (origin !== undefined ? origin !== `http://${host}` : request.method === 'POST') {
    return { status: 403, message: 'Requests from other pages are not answered.' };
  }
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none' && !opening) {
    return { status: 403, message: 'Requests from other pages are not answered.' };
  }
  const header = request.headers['x-vialapse-token'];
  const given =
    (opening ? url.searchParams.get('token') : null) ??
    (typeof header === 'string' ? header : null) ??
    cookieOf(request, cookieName(gate.port));
  const launched = opening && given !== null && gate.once.delete(given);
  if (given === null || !(launched || sameToken(given, gate.token))) {
    return { status: 401, message: 'Open the address that vialapse printed in the terminal.' };
  }
  const type = request.headers['content-type'] ?? '';
  if (request.method === 'POST' && !/^application\/json\b/iu.test(type)) {
    return { status: 415, message: 'JSON only.' };
  }
  return null;
}
