import type { RgbImage } from '../../model/frame.ts';
import type { FrameAccess } from '../frame-access.ts';
import { shrink, shrinkFactor, type ShrunkImage } from './shrink.ts';

/** Frames of a strip; the brief of the page. */
export const stripFrames = 20;
/** Pixels kept of a strip's frame; chosen: 20 frames then need about 120 MB whatever the camera. */
const stripPixels = 2_100_000;
/** Whole frames kept; chosen: the one shown, and its neighbours while scrubbing. */
const wholeFrames = 3;

export interface FrameStore {
  readonly whole: (index: number) => Promise<RgbImage>;
  /** About 20 frames spread over the source, made once. */
  readonly spread: () => Promise<readonly ShrunkImage[]>;
  /** Those of the spread that are already there. */
  readonly ready: () => readonly ShrunkImage[];
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
  let spread: Promise<readonly ShrunkImage[]> | null = null;
  const ready: ShrunkImage[] = [];

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
  const makeSpread = async (): Promise<readonly ShrunkImage[]> => {
    for (const index of spreadIndices(access.facts.frames)) {
      await wanted;
      const image = await (kept.get(index) ?? decode(index));
      ready.push(shrink(image, shrinkFactor(image, stripPixels)));
    }
    return ready;
  };
  return {
    whole,
    ready: () => ready,
    spread: () => {
      spread ??= makeSpread().catch((error: unknown) => {
        spread = null;
        ready.length = 0;
        throw error;
      });
      return spread;
    },
  };
}
