import type { ServerResponse } from 'node:http';
import { guardHeaders } from './reply.ts';

/** Time without any page after which the server ends, milliseconds; chosen: a reload takes less. */
export const defaultGraceMs = 3000;

/** Sign of life sent down an open connection, so that a vanished page is noticed, milliseconds; chosen. */
const beatMs = 10_000;

export interface Presence {
  /** Holds a connection open as long as its page is. */
  readonly attend: (response: ServerResponse) => void;
  readonly stop: () => void;
}

/** Knows whether a page is open; calls `left` when the last one has gone and none came back. */
export function createPresence(left: () => void, graceMs: number): Presence {
  const open = new Set<ServerResponse>();
  let timer: NodeJS.Timeout | undefined;
  const beat = setInterval(() => {
    for (const response of open) response.write(': here\n\n');
  }, beatMs);
  beat.unref();
  return {
    attend(response) {
      clearTimeout(timer);
      open.add(response);
      response.writeHead(200, { ...guardHeaders, 'content-type': 'text/event-stream' });
      response.write(': here\n\n');
      response.on('close', () => {
        open.delete(response);
        if (open.size === 0) timer = setTimeout(left, graceMs);
      });
    },
    stop() {
      clearTimeout(timer);
      clearInterval(beat);
      for (const response of open) response.end();
    },
  };
}
