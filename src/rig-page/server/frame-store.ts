import type { RgbImage } from '../../model/frame.ts';
import type { FrameAccess } from '../frame-access.ts';
import { keepLook, type KeptLook } from './kept-look.ts';
import { shrink, shrinkFactor, type ShrunkImage } from './shrink.ts';

/** Frames of a strip. Chosen: about 20. */
const stripFrames = 22;
/** Pixels kept of a strip's frame; chosen: a 4K frame at the half size of its colours, 22 frames then need 140 MB. */
const stripPixels = 2_100_000;
/** Whole frames kept; chosen: the one shown, and its neighbours while scrubbing. */
const wholeFrames = 3;
/** Frames of the strips decoded at once, for two cores. */
const lanes = 2;

export interface FrameStore {
  readonly whole: (index: number) => Promise<RgbImage>;
  /** About 20 frames spread over the source, or the first to be had of them, in order of time; made once. */
  readonly spread: (most?: number) => Promise<readonly ShrunkImage[]>;
  /** The looks from which the analysis tells glare; `null` while they are not there yet. */
  readonly looks: () => readonly KeptLook[] | null;
}

/** Numbers of `count` frames: first and last, the others evenly between, each the frame at or before its time. */
const evenly = (count: number, frames: number): readonly number[] =>
  Array.from({ length: count }, (_, at) => Math.floor((at * (frames - 1)) / Math.max(1, count - 1) + 1e-9));

/** Numbers of the frames of a strip. */
export const spreadIndices = (frames: number): readonly number[] => evenly(Math.min(stripFrames, frames), frames);

/** Decodes what is asked for, the shown frames kept; what the user looks at goes before the strips. */
export function createFrameStore(access: FrameAccess): FrameStore {
  const kept = new Map<number, Promise<RgbImage>>();
  let queue: Promise<unknown> = Promise.resolve();
  let wanted: Promise<unknown> = Promise.resolve();
  let spread: readonly Promise<ShrunkImage>[] | null = null;
  let looks: readonly KeptLook[] | null = null;

  const decodeShown = (index: number): Promise<RgbImage> => {
    const next = queue.then(() => access.still(index));
    queue = next.catch(() => undefined);
    return next;
  };
  const whole = (index: number): Promise<RgbImage> => {
    const held = kept.get(index) ?? decodeShown(index);
    kept.delete(index);
    kept.set(index, held);
    held.catch(() => kept.delete(index));
    for (const old of kept.keys()) {
      if (kept.size > wholeFrames) kept.delete(old);
    }
    wanted = held.catch(() => undefined);
    return held;
  };
  const readLooks = async (): Promise<void> => {
    if (looks !== null) return;
    await wanted;
    const found: KeptLook[] = [];
    for await (const look of access.looks()) found.push(keepLook(look));
    looks = found;
  };
  const startSpread = (): readonly Promise<ShrunkImage>[] => {
    const indices = spreadIndices(access.facts.frames);
    const made = new Map<number, Promise<ShrunkImage>>();
    const looked = readLooks();
    const ready = Array.from({ length: lanes }, () => looked);
    coarseToFine(indices.length).forEach((at, turn) => {
      const image = ready[turn % lanes]!.then(async () => {
        await wanted;
        const index = indices[at]!;
        const found = await (kept.get(index) ?? access.still(index));
        return shrink(found, Math.max(access.facts.sampleSide, shrinkFactor(found, stripPixels)));
      });
      image.catch(() => (spread = null));
      ready[turn % lanes] = image.then(nothing, nothing);
      made.set(at, image);
    });
    return indices.map((_, at) => made.get(at)!);
  };
  return {
    whole,
    looks: () => looks,
    spread: (most = stripFrames) => {
      spread ??= startSpread();
      const images = spread;
      const first = coarseToFine(images.length).slice(0, most);
      return Promise.all([...first].sort((one, other) => one - other).map((at) => images[at]!));
    },
  };
}

const nothing = (): void => {};

/** Order in which places 0 to count - 1 are filled so that any beginning is spread over the whole: ends, middle, quarters, … */
export function coarseToFine(count: number): readonly number[] {
  const order = new Set<number>();
  for (let parts = 1; order.size < count; parts *= 2) {
    for (let part = 0; part <= parts; part += 1) order.add(Math.round((part / parts) * (count - 1)));
  }
  return [...order];
}
