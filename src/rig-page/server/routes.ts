import { setImmediate } from 'node:timers/promises';
import type { TransferName } from '../../colour/transfer.ts';
import type { Region } from '../../model/region.ts';
import { encodeJpeg } from '../../frames/index.ts';
import { regionSchema } from '../../files/schemas/region.ts';
import type { PlainObject, SaveAnswer, Start } from '../messages.ts';
import type { FrameAccess } from '../frame-access.ts';
import { checkFiles, runFileProblem } from './check-files.ts';
import { findRegions } from './find-regions.ts';
import { createFrameStore } from './frame-store.ts';
import { RequestError } from './read-body.ts';
import { createRegionReadings, type Seeing } from './read-regions.ts';
import { saveFiles, type SaveFolder } from './save-files.ts';
import { thumbnailOf } from './thumbnail.ts';

export interface Session {
  readonly access: FrameAccess;
  readonly start: Start;
  readonly folder: SaveFolder;
  /** Absolute folder of the rig, for paths that the run names. */
  readonly place: string;
  /** Told after each save. */
  readonly saved: (answer: SaveAnswer) => void;
}

type Body = Readonly<Record<string, unknown>>;
export type Answer =
  { readonly kind: 'json'; readonly value: unknown } | { readonly kind: 'jpeg'; readonly bytes: Uint8Array };
export type Route = (url: URL, body: Body) => Promise<Answer>;

/** Most regions read in one request: as many as a rig may have. */
const mostRegions = 550;

function frameNumber(value: unknown, session: Session): number {
  const index = typeof value === 'string' && /^\d+$/u.test(value) ? Number(value) : value;
  if (typeof index !== 'number' || !Number.isInteger(index) || index < 0 || index >= session.access.facts.frames) {
    throw new RequestError(400, `Frames are numbered 0 to ${session.access.facts.frames - 1}.`);
  }
  return index;
}

function regionsOf(value: unknown): readonly Region[] {
  if (!Array.isArray(value) || value.length > mostRegions) throw new RequestError(400, 'A list of regions is wanted.');
  return value.map((entry) => {
    const parsed = regionSchema.safeParse(entry);
    if (!parsed.success) throw new RequestError(400, 'One of the regions is not valid.');
    return parsed.data;
  });
}

const objectOf = (value: unknown): PlainObject => {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new RequestError(400, 'An object is wanted.');
  return value as PlainObject;
};

/** The curve that the analysis would take, by the run's `transfer` and the film's tag. */
function transferOf(asked: unknown, tag: string | null): TransferName {
  if (asked === 'bt709') return 'bt709';
  if (asked !== 'tagged') return 'srgb';
  return tag === 'bt709' || tag === 'linear' || tag === 'hlg' || tag === 'pq' ? tag : 'srgb';
}

/** Works through regions with a pause after each, so that frames are served meanwhile. */
async function oneByOne<Result>(regions: readonly Region[], work: (region: Region) => Result): Promise<Result[]> {
  const results: Result[] = [];
  for (const region of regions) {
    results.push(work(region));
    await setImmediate();
  }
  return results;
}

/** The whole of what the page can ask for, by method and path. */
export function createRoutes(session: Session): ReadonlyMap<string, Route> {
  const frames = createFrameStore(session.access);
  const readings = createRegionReadings();
  const { facts } = session.access;
  const seeing = (body: Body): Seeing => ({
    frame: { width: facts.width, height: facts.height },
    sampleSide: facts.sampleSide,
    transfer: transferOf(body['transfer'], facts.transferTag),
    looks: frames.looks(),
  });
  const problemsOf = (body: Body) => {
    const name = typeof body['runFile'] === 'string' ? body['runFile'] : '';
    const named = runFileProblem(name);
    const problems = checkFiles(objectOf(body['rig']), objectOf(body['run']), session.place);
    return named === null ? problems : [...problems, { file: 'run' as const, key: 'file', message: named }];
  };
  // A page that is loaded anew shows what was saved, not what the command began with.
  let { start } = session;
  const json = (value: unknown): Answer => ({ kind: 'json', value });
  const routes: Readonly<Record<string, Route>> = {
    'GET /start': async () => json(start),
    'GET /frame': async (url) => {
      const image = await frames.whole(frameNumber(url.searchParams.get('index'), session));
      return { kind: 'jpeg', bytes: await encodeJpeg(image, { quality: 92 }) };
    },
    'POST /readings': async (_, body) => {
      const image = await frames.whole(frameNumber(body['frame'], session));
      const how = seeing(body);
      return json(await oneByOne(regionsOf(body['regions']), (region) => readings.read(image, region, how)));
    },
    'POST /strips': async (_, body) => {
      const regions = regionsOf(body['regions']);
      const images = await frames.spread();
      const how = seeing(body);
      return json(await oneByOne(regions, (region) => readings.strip(images, region, how)));
    },
    'POST /find': async () => json(findRegions(await frames.spread(), facts.frames)),
    'POST /check': async (_, body) => json(problemsOf(body)),
    'POST /save': async (_, body) => {
      const problems = problemsOf(body);
      if (problems.length > 0) return json({ kind: 'problems', problems });
      const image = await frames.whole(frameNumber(body['frame'], session));
      const rig = { ...objectOf(body['rig']), thumbnail: await thumbnailOf(image) };
      const [run, runFile] = [objectOf(body['run']), String(body['runFile'])];
      const answer = await saveFiles(session.folder, { rig, run, runFile, replace: body['replace'] === true });
      if (answer.kind === 'saved') start = { ...start, rig, run, files: { ...start.files, run: runFile }, find: false };
      session.saved(answer);
      return json(answer);
    },
  };
  return new Map(Object.entries(routes));
}
