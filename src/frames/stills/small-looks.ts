import type { CropRequest, RgbImage } from '../../model/frame.ts';
import { inOrder } from '../in-order.ts';
import { lightnessOfImage, type PartLook } from '../part.ts';
import { cutCrops, unitFor } from './cut-crops.ts';
import { maximumCode, readBox } from './read-still.ts';
import type { GoodStill, StillFacts } from './still-facts.ts';

/** Pictures decoded at once, for two cores. */
const width = 2;

/**
 * Whole pictures at a quarter of their size, where frames are read so too for these crops: a sixteenth of the memory, half the
 * decoding, and readers learn from the very samples that they will read. `null`: one of them cannot be had so, or has a colour
 * profile of its own. A broken picture gives way to the next sound one.
 */
export function smallLooks(
  facts: readonly StillFacts[],
  ownColours: (still: GoodStill) => boolean,
  positions: readonly number[],
  crops: readonly CropRequest[],
): AsyncIterable<PartLook> | null {
  const good = facts.filter((one): one is GoodStill => one.problem === null);
  if (good.some((one) => unitFor(one, crops) !== 4 || one.icc !== null || ownColours(one))) return null;
  return looks(facts, positions);
}

const unit = 4;

async function* looks(facts: readonly StillFacts[], positions: readonly number[]): AsyncGenerator<PartLook> {
  for await (const look of inOrder(positions, width, (position) => firstFrom(facts, position))) {
    if (look !== null) yield look;
  }
}

async function firstFrom(facts: readonly StillFacts[], from: number): Promise<PartLook | null> {
  for (let position = from; position < facts.length; position += 1) {
    const still = facts[position]!;
    if (still.problem !== null) continue;
    const box = { x: 0, y: 0, width: still.width, height: still.height };
    const samples = await readBox(still, box, unit).catch(() => null); // the frames tell of it by name
    if (samples === null) continue;
    const image: RgbImage = {
      ...{ width: still.width / unit, height: still.height / unit },
      data: new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength),
    };
    return {
      ...{ position, pixelsPerSample: unit },
      image: () => image,
      thumbnail: () => image,
      lightness: () => lightnessOfImage(image),
      regions: (wanted) => cutCrops({ box, unit, samples, maximum: maximumCode(still) }, still, wanted, null),
    };
  }
  return null;
}
