import type { ServerResponse } from 'node:http';

/** Headers of every answer: nothing from elsewhere, nothing to elsewhere, nothing kept. */
export const guardHeaders: Readonly<Record<string, string>> = {
  'content-security-policy':
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cache-control': 'no-store',
};

export function reply(response: ServerResponse, status: number, type: string, body: string | Uint8Array): void {
  response.writeHead(status, { ...guardHeaders, 'content-type': type, 'content-length': Buffer.byteLength(body) });
  response.end(body);
}

export const replyJson = (response: ServerResponse, value: unknown): void =>
  reply(response, 200, 'application/json; charset=utf-8', JSON.stringify(value));

export const replyText = (response: ServerResponse, status: number, text: string): void =>
  reply(response, status, 'text/plain; charset=utf-8', text);
