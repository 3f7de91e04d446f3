import { randomBytes } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import path from 'node:path';
import { MachineError, UserError } from '../../errors.ts';
import { cookieName, refusalOf, type Gate } from './gate.ts';
import { createPresence, defaultGraceMs } from './presence.ts';
import { readBody, RequestError } from './read-body.ts';
import { guardHeaders, reply, replyJson, replyText } from './reply.ts';
import { createRoutes, type Session } from './routes.ts';

export interface RigServer {
  /** Address to open, with the token in it. */
  readonly url: string;
  /** An address that opens the page once, to hand to the browser. */
  readonly launchUrl: () => string;
  readonly port: number;
  readonly token: string;
  /** Settles when the page has been closed, or after `close`. */
  readonly ended: Promise<void>;
  readonly close: () => void;
}

export interface ServerOptions {
  /** Folder with the built index.html, style.css and page.js. */
  readonly assets: string;
  readonly graceMs?: number;
}

/** The page's own files; nothing else of the disk is served. */
const assets: Readonly<Record<string, readonly [name: string, type: string]>> = {
  '/': ['index.html', 'text/html; charset=utf-8'],
  '/style.css': ['style.css', 'text/css; charset=utf-8'],
  '/page.js': ['page.js', 'text/javascript; charset=utf-8'],
};

/** Serves the placing page on a random port of the loopback interface until its page is closed. */
export async function startRigServer(session: Session, options: ServerOptions): Promise<RigServer> {
  const token = randomBytes(32).toString('base64url');
  const routes = createRoutes(session);
  let end: () => void = () => {};
  const ended = new Promise<void>((resolve) => (end = resolve));
  const presence = createPresence(() => close(), options.graceMs ?? defaultGraceMs);
  const server = createServer();
  const close = (): void => {
    presence.stop();
    server.close();
    server.closeAllConnections();
    end();
  };
  await new Promise<void>((resolve, reject) => {
    server.once('error', (cause) =>
      reject(new MachineError('no-port', `no local port can be opened: ${cause.message}`, { cause })),
    );
    server.listen({ host: '127.0.0.1', port: 0 }, resolve);
  });
  const { port } = server.address() as AddressInfo;
  const gate: Gate = { port, token, once: new Set() };

  const handle = async (request: IncomingMessage, response: ServerResponse): Promise<void> => {
    const url = new URL(request.url ?? '/', `http://127.0.0.1:${port}`);
    const refusal = refusalOf(request, url, gate);
    if (refusal !== null) return replyText(response, refusal.status, refusal.message);
    const asset = request.method === 'GET' ? assets[url.pathname] : undefined;
    if (asset !== undefined) {
      const bytes = await readFile(path.join(options.assets, asset[0]));
      if (url.pathname === '/') {
        response.setHeader('set-cookie', `${cookieName(port)}=${token}; HttpOnly; SameSite=Strict; Path=/`);
      }
      return reply(response, 200, asset[1], bytes);
    }
    if (request.method === 'GET' && url.pathname === '/alive') return presence.attend(response);
    const route = routes.get(`${request.method} ${url.pathname}`);
    if (route === undefined) return replyText(response, 404, 'There is nothing at this address.');
    const body = request.method === 'POST' ? await readBody(request) : {};
    const answer = await route(url, body);
    if (answer.kind === 'json') replyJson(response, answer.value);
    else reply(response, 200, 'image/jpeg', answer.bytes);
  };
  server.on('request', (request: IncomingMessage, response: ServerResponse) => {
    handle(request, response).catch((error: unknown) => fail(response, error));
  });
  const address = (secret: string): string => `http://127.0.0.1:${port}/?token=${secret}`;
  const launchUrl = (): string => {
    const secret = randomBytes(32).toString('base64url');
    gate.once.add(secret);
    return address(secret);
  };
  return { url: address(token), launchUrl, port, token, ended, close };
}

/** Says what went wrong in words fit for the page. */
function fail(response: ServerResponse, error: unknown): void {
  if (response.headersSent) {
    response.destroy();
    return;
  }
  if (error instanceof RequestError && error.status === 413) {
    // The rest of the body is not read.
    response.writeHead(413, { ...guardHeaders, 'content-type': 'text/plain; charset=utf-8', connection: 'close' });
    response.end(error.message);
  } else if (error instanceof RequestError) replyText(response, error.status, error.message);
  else if (error instanceof UserError) replyText(response, 422, error.message);
  else replyText(response, 500, error instanceof Error ? error.message : String(error));
}
