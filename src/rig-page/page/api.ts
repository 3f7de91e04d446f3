import type { Region } from '../../model/region.ts';
import type { PlainObject, Problem, Proposals, Reading, SaveAnswer, SaveRequest, Start, Strip } from '../messages.ts';

/** The page's calls to its own server. A failed call throws an `Error` with words fit to show. */
export interface Api {
  readonly start: () => Promise<Start>;
  readonly frameUrl: (frame: number) => string;
  readonly readings: (frame: number, regions: readonly Region[], transfer: string) => Promise<readonly Reading[]>;
  readonly strips: (regions: readonly Region[], transfer: string) => Promise<readonly Strip[]>;
  readonly find: () => Promise<Proposals>;
  readonly check: (files: { rig: PlainObject; run: PlainObject; runFile: string }) => Promise<readonly Problem[]>;
  readonly save: (request: SaveRequest) => Promise<SaveAnswer>;
}

async function answer<Body>(response: Response): Promise<Body> {
  if (response.ok) return (await response.json()) as Body;
  const text = await response.text();
  throw new Error(text === '' ? `The server answered ${response.status}.` : text);
}

async function call<Body>(path: string, body: unknown): Promise<Body> {
  const init: RequestInit =
    body === undefined
      ? {}
      : { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (cause) {
    throw new Error(
      'vialapse no longer answers: it was stopped in the terminal. Start it again; this page can be closed.',
      {
        cause,
      },
    );
  }
  return answer<Body>(response);
}

export const createApi = (): Api => ({
  start: () => call('/start', undefined),
  frameUrl: (frame) => `/frame?index=${frame}`,
  readings: (frame, regions, transfer) => call('/readings', { frame, regions, transfer }),
  strips: (regions, transfer) => call('/strips', { regions, transfer }),
  find: () => call('/find', {}),
  check: (files) => call('/check', files),
  save: (request) => call('/save', request),
});
