import type { IncomingMessage } from 'node:http';

/** Largest request body taken, bytes; chosen: a rig of 500 polygons with its run stays under a tenth of it. */
export const bodyLimit = 2 * 1024 * 1024;

/** A request that cannot be answered, with the HTTP status that says why. */
export class RequestError extends Error {
  readonly status: number;

  constructor(status: number, message: string) {
    super(message);
    this.name = 'RequestError';
    this.status = status;
  }
}

/** The JSON object of a request. @throws RequestError when it is too large or no JSON object. */
export async function readBody(request: IncomingMessage): Promise<Readonly<Record<string, unknown>>> {
  const tooLarge = new RequestError(413, `More than ${bodyLimit} bytes are not taken.`);
  if (Number(request.headers['content-length'] ?? 0) > bodyLimit) throw tooLarge;
  const parts: Buffer[] = [];
  let size = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    size += part.length;
    if (size > bodyLimit) throw tooLarge;
    parts.push(part);
  }
  let value: unknown;
  try {
    value = JSON.parse(Buffer.concat(parts).toString('utf8'));
  } catch {
    throw new RequestError(400, 'The request is no JSON.');
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new RequestError(400, 'The request is no JSON object.');
  }
  return value as Readonly<Record<string, unknown>>;
}
