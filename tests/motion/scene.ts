import type { CropRequest, RegionPixels } from '../../src/model/frame.ts';
import type { Shift } from '../../src/model/shift.ts';
import type { GreyImage } from '../../src/motion/grey-image.ts';
import { createRandom } from '../../src/numeric/random.ts';

export const frame = { width: 960, height: 540 };

/** A continuous bench: soft blobs and slanted edges, known at every real point, so that any shift is exact. */
export function drawScene(seed: string): (x: number, y: number) => number {
  const random = createRandom(seed);
  const blobs = Array.from({ length: 220 }, () => ({
    x: random.uniform() * frame.width,
    y: random.uniform() * frame.height,
    radius: 3 + 10 * random.uniform(),
    height: 0.35 * (random.uniform() - 0.5),
  }));
  return (x, y) => {
    let value = 0.5 + 0.1 * Math.tanh((x + 0.3 * y - 500) / 2);
    for (const blob of blobs) {
      const square = ((x - blob.x) ** 2 + (y - blob.y) ** 2) / blob.radius ** 2;
      if (square < 20) value += blob.height * Math.exp(-square);
    }
    return value;
  };
}

export interface Viewing {
  readonly shift?: Partial<Shift>;
  readonly gain?: number;
  readonly offset?: number;
  readonly noise?: number;
  readonly seed?: string;
  readonly step?: number;
}

/** The crop of a shifted frame, averaged over each sample by four points. */
export function viewCrop(
  scene: (x: number, y: number) => number,
  crop: CropRequest,
  viewing: Viewing = {},
): RegionPixels {
  const { dx = 0, dy = 0, rotation = 0, scale = 1 } = viewing.shift ?? {};
  const step = viewing.step ?? 2;
  const width = crop.width / step;
  const height = crop.height / step;
  const grey = new Float32Array(width * height);
  const random = createRandom(`${viewing.seed ?? ''}/${crop.id}`);
  const cos = Math.cos(rotation) / scale;
  const sin = Math.sin(rotation) / scale;
  for (let index = 0; index < grey.length; index += 1) {
    let sum = 0;
    for (const [ox, oy] of [
      [0.25, 0.25],
      [0.75, 0.25],
      [0.25, 0.75],
      [0.75, 0.75],
    ] as const) {
      const x = crop.x + ((index % width) + ox) * step - frame.width / 2 - dx;
      const y = crop.y + (Math.floor(index / width) + oy) * step - frame.height / 2 - dy;
      sum += scene(frame.width / 2 + cos * x + sin * y, frame.height / 2 - sin * x + cos * y);
    }
    grey[index] = (viewing.gain ?? 1) * (sum / 4) + (viewing.offset ?? 0) + (viewing.noise ?? 0.01) * random.normal();
  }
  return {
    id: crop.id,
    kind: crop.kind,
    x: crop.x,
    y: crop.y,
    width,
    height,
    pixelsPerSample: step,
    red: grey,
    green: grey.slice(),
    blue: grey.slice(),
  };
}

export function viewFrame(scene: (x: number, y: number) => number): GreyImage {
  const data = Float32Array.from({ length: frame.width * frame.height }, (_, index) =>
    scene((index % frame.width) + 0.5, Math.floor(index / frame.width) + 0.5),
  );
  return { ...frame, data };
}
