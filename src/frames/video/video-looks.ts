import type { CropRequest, RegionPixels, RgbImage } from '../../model/frame.ts';
import { inOrder } from '../in-order.ts';
import { lightnessOfImage, type PartLook } from '../part.ts';
import { planeConverter, planesToImage } from './convert-planes.ts';
import { type CropPlan, planCrops } from './crop-plan.ts';
import { mappedMemory } from './mapped-memory.ts';
import { planesInOnePiece } from './pixel-memory.ts';
import { lightnessOf, thumbnailOf } from './small-pictures.ts';
import { nextPicture, startStretch, type Stretch } from './stretch.ts';
import type { VideoPart } from './video-part.ts';

/** Fewer key frames than this near the places asked for do not stand for the run. Chosen. */
const fewestKeys = 3;
/** Where key frames are few, pictures this many frames after one are taken too. Chosen: a hand or a bubble has gone, and decoding up to there is quick. */
const after = 12;
/** Decoders at once, for two cores. */
const width = 2;

/**
 * Whole pictures near the given positions, without decoding the film for them: at key frames, and where
 * these are few also some frames after them. A film with hardly any key frame is decoded once for all of them.
 */
export async function* videoLooks(part: VideoPart, positions: readonly number[]): AsyncGenerator<PartLook> {
  const keys = part.times === null ? [] : [...new Set(positions.map((position) => nearestKey(part, position)))];
  if (keys.length < Math.min(fewestKeys, positions.length)) {
    yield* inOnePass(part, positions);
    return;
  }
  const spare = positions.length - keys.length;
  const ends = [...keys, part.times!.length].sort((a, b) => a - b);
  const tasks = keys.map((key, at) => {
    const next = ends.find((end) => end > key)!;
    return { key, also: at < spare && key + after < next ? key + after : null };
  });
  const scratch = imageScratch(part);
  for await (const looks of inOrder(tasks, width, ({ key, also }) => fromKey(part, key, also, scratch))) yield* looks;
}

/** One whole upright picture, the one shown at `position`. */
export async function videoStill(part: VideoPart, position: number): Promise<RgbImage | null> {
  const key = part.times === null ? 0 : (part.keyFrames.filter((at) => at <= position).at(-1) ?? 0);
  const looks = await fromKey(part, key, position === key ? null : position);
  return looks.find((look) => look.position >= position)?.image() ?? null;
}

function nearestKey(part: VideoPart, position: number): number {
  return part.keyFrames.reduce(
    (best, key) => (Math.abs(key - position) < Math.abs(best - position) ? key : best),
    part.keyFrames[0] ?? 0,
  );
}

/** The picture of a key frame and one after it; without what cannot be decoded. */
async function fromKey(
  part: VideoPart,
  key: number,
  also: number | null,
  scratch?: () => Uint8ClampedArray,
): Promise<readonly PartLook[]> {
  const plan = wholePlan(part, []);
  const keyFramesOnly = also === null && part.times !== null;
  const stretch = startStretch(part, plan, { from: key, to: Infinity, threads: 1, keyFramesOnly });
  const looks: PartLook[] = [];
  try {
    for (const wanted of also === null ? [key] : [key, also]) {
      let arrival = await nextPicture(part, stretch);
      while (arrival !== null && arrival.position < wanted) arrival = await nextPicture(part, stretch);
      if (arrival === null) break;
      stretch.expected = arrival.position + 1;
      // The last picture stays where it is: this decoder fills its buffer no more.
      const { bytes } = stretch.decoder;
      const own = wanted === (also ?? key) ? bytes : copyOf(bytes);
      looks.push(lookOf(part, plan, arrival.position, own, scratch));
    }
    return looks;
  } finally {
    await stretch.decoder.close();
  }
}

async function* inOnePass(part: VideoPart, wanted: readonly number[]): AsyncGenerator<PartLook> {
  const positions = [...wanted].sort((a, b) => a - b);
  const plan = wholePlan(part, []);
  const options = { from: 0, to: Infinity, threads: 2, keyFramesOnly: false, select: positions };
  const stretch: Stretch = startStretch(part, plan, options);
  const scratch = imageScratch(part);
  try {
    for (let at = 0; at < positions.length; at++) {
      const arrival = await nextPicture(part, stretch);
      if (arrival === null) return;
      // Without times a picture is known by its turn.
      const position = part.times === null ? positions[at]! : arrival.position;
      yield lookOf(part, plan, position, copyOf(stretch.decoder.bytes), scratch);
    }
  } finally {
    await stretch.decoder.close();
  }
}

/** One picture's memory for all looks: images are looked at one after another, and most films need none. */
function imageScratch({ width: across, height }: VideoPart): () => Uint8ClampedArray {
  let memory: Uint8ClampedArray | null = null;
  return () => (memory ??= new Uint8ClampedArray(mappedMemory(3 * across * height), 0, 3 * across * height));
}

function copyOf(bytes: Uint8Array): Uint8Array {
  const copy = new Uint8Array(mappedMemory(bytes.length), 0, bytes.length);
  copy.set(bytes);
  return copy;
}

const wholePlan = (part: VideoPart, crops: readonly CropRequest[]): CropPlan => {
  const { storedWidth, storedHeight, rotation } = part.facts;
  return planCrops(crops, { width: storedWidth, height: storedHeight }, part.format, rotation, true);
};

/** Keeps the raw planes: the smallest form of a picture. */
function lookOf(
  part: VideoPart,
  plan: CropPlan,
  position: number,
  bytes: Uint8Array,
  scratch?: () => Uint8ClampedArray,
): PartLook {
  const { conversion } = part.chosen;
  const image = (): RgbImage => planesToImage(plan, conversion, bytes, scratch?.());
  return {
    ...{ position, pixelsPerSample: 1 },
    image,
    thumbnail: (width) => thumbnailOf(plan, conversion, bytes, width),
    lightness: () => lightnessOf(plan, bytes) ?? lightnessOfImage(image()),
    regions: (crops): readonly RegionPixels[] => {
      const cut = wholePlan(part, crops);
      return planeConverter(cut, conversion, bytes, planesInOnePiece(cut))();
    },
  };
}
