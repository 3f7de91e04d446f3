import type { RgbImage } from '../../model/frame.ts';
import type { FrameAccess } from '../frame-access.ts';
import { shrink, shrinkFactor, type ShrunkImage } from './shrink.ts';

/** Frames of a strip; the brief of the page. */
export const stripFrames = 20;
/** Pixels kept of a strip's frame; chosen: half a full HD frame along each side, 20 frames then need 31 MB. */
const stripPixels = 520_000;
/** Whole frames kept; chosen: the one shown, and its neighbours while scrubbing. */
const wholeFrames = 3;

export interface FrameStore {
  readonly whole: (index: number) => Promise<RgbImage>;
  /** About 20 frames spread over the source, or the first to be had of them, in order of time; made once. */
  readonly spread: (most?: number) => Promise<readonly ShrunkImage[]>;
}

/** Numbers of the frames of a strip: first and last, the others evenly between. */
export function spreadIndices(frames: number): readonly number[] {
  const count = Math.min(stripFrames, frames);
  return Array.from({ length: count }, (_, at) => (count === 1 ? 0 : Math.round((at / (count - 1)) * (frames - 1))));
}

/** Frames decoded one at a time, the shown ones kept; what the user looks at goes before the strips. */
export function createFrameStore(access: FrameAccess): FrameStore {
  const kept = new Map<number, Promise<RgbImage>>();
  let queue: Promise<unknown> = Promise.resolve();
  let wanted: Promise<unknown> = Promise.resolve();
  let spread: readonly Promise<ShrunkImage>[] | null = null;

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
        return shrink(found, shrinkFactor(found, stripPixels));
      });
      image.catch(() => (spread = null));
      before = image.catch(() => undefined);
      made.set(at, image);
    }
    return indices.map((_, at) => made.get(at)!);
  };
  return {
    whole,
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
