import type { RgbImage } from '../../model/frame.ts';
import type { FrameAccess } from '../frame-access.ts';
import { shrink, shrinkFactor, type ShrunkImage } from './shrink.ts';

/** Frames of a strip: about 20, and every third is one that the analysis looks at first to tell glare. */
export const stripFrames = 22;
/** Looks of the analysis before it measures: first, last, and six between. */
const looks = 8;
/** Pixels kept of a strip's frame; chosen: a 4K frame at the half size of its colours, 22 frames then need 140 MB. */
const stripPixels = 2_100_000;
/** Pixels kept of a look; chosen: a whole 4K frame, 8 then need 200 MB. */
const lookPixels = 8_300_000;
/** Whole frames kept; chosen: the one shown, and its neighbours while scrubbing. */
const wholeFrames = 3;

export interface FrameStore {
  readonly whole: (index: number) => Promise<RgbImage>;
  /** About 20 frames spread over the source, or the first to be had of them, in order of time; made once. */
  readonly spread: (most?: number) => Promise<readonly ShrunkImage[]>;
  /** The looks from which the analysis tells glare, whole; `null` while they are not there yet. */
  readonly looks: () => readonly ShrunkImage[] | null;
}

/** Numbers of `count` frames: first and last, the others evenly between, each the frame at or before its time. */
const evenly = (count: number, frames: number): readonly number[] =>
  Array.from({ length: count }, (_, at) => Math.floor((at * (frames - 1)) / Math.max(1, count - 1) + 1e-9));

/** Numbers of the frames of a strip. */
export const spreadIndices = (frames: number): readonly number[] => evenly(Math.min(stripFrames, frames), frames);

/** Numbers of the frames that the analysis looks at first; all of them are in the strip. */
export const lookIndices = (frames: number): ReadonlySet<number> => new Set(evenly(looks, frames));

/** Frames decoded one at a time, the shown ones kept; what the user looks at goes before the strips. */
export function createFrameStore(access: FrameAccess): FrameStore {
  const kept = new Map<number, Promise<RgbImage>>();
  let queue: Promise<unknown> = Promise.resolve();
  let wanted: Promise<unknown> = Promise.resolve();
  let spread: readonly Promise<ShrunkImage>[] | null = null;
  const lookAt = lookIndices(access.facts.frames);
  const looked = new Map<number, ShrunkImage>();

  const decode = (index: number): Promise<RgbImage> => {
    const next = queue.then(() => access.still(index));
    queue = next.catch(() => undefined);
    return next;
  };
  const whole = (index: number): Promise<RgbImage> => {
    const held = kept.get(index) ?? decode(index);
    kept.delete(index);
    kept.set(index, held);
    held.catch(() => kept.delete(index));
    for (const old of kept.keys()) {
      if (kept.size > wholeFrames) kept.delete(old);
    }
    wanted = held.catch(() => undefined);
    return held;
  };
  const startSpread = (): readonly Promise<ShrunkImage>[] => {
    const indices = spreadIndices(access.facts.frames);
    const made = new Map<number, Promise<ShrunkImage>>();
    let before: Promise<unknown> = Promise.resolve();
    for (const at of coarseToFine(indices.length)) {
      const image = before.then(async () => {
        await wanted;
        const index = indices[at]!;
        const found = await (kept.get(index) ?? decode(index));
        if (lookAt.has(index)) looked.set(index, shrink(found, shrinkFactor(found, lookPixels)));
        return shrink(found, Math.max(access.facts.sampleSide, shrinkFactor(found, stripPixels)));
      });
      image.catch(() => (spread = null));
      before = image.catch(() => undefined);
      made.set(at, image);
    }
    return indices.map((_, at) => made.get(at)!);
  };
  return {
    whole,
    looks: () =>
      looked.size < lookAt.size ? null : [...looked].sort(([one], [other]) => one - other).map(([, image]) => image),
    spread: (most = stripFrames) => {
      spread ??= startSpread();
      const images = spread;
      const first = coarseToFine(images.length).slice(0, most);
      return Promise.all([...first].sort((one, other) => one - other).map((at) => images[at]!));
    },
  };
}

/** Order in which places 0 to count - 1 are filled so that any beginning is spread over the whole: ends, middle, quarters, … */
export function coarseToFine(count: number): readonly number[] {
  const order = new Set<number>();
  for (let parts = 1; order.size < count; parts *= 2) {
    for (let part = 0; part <= parts; part += 1) order.add(Math.round((part / parts) * (count - 1)));
  }
  return [...order];
}
