import type { RegionPixels } from '../../src/model/frame.ts';
import { encodeSrgb } from '../../src/colour/transfer.ts';
import { createRandom } from '../../src/numeric/random.ts';

/** What one drawn vial looks like; all optional, frame pixels. */
export interface VialDrawing {
  readonly seed?: string;
  readonly noise?: number;
  readonly dx?: number;
  readonly dy?: number;
  /** Centre and half-width of a stripe of additive lamp light, and its strength in linear light. */
  readonly glare?: { readonly x: number; readonly halfWidth: number; readonly strength: number };
  /** Rows above this are empty glass. */
  readonly meniscusY?: number;
  /** Absorbance across the vial's diameter, by channel. */
  readonly absorbance: readonly [number, number, number];
  readonly gains?: readonly [number, number, number];
  readonly pixelsPerSample?: number;
}

/** Box of the drawn crop: the vial stands from x = 40 to 140 and its axis is at x = 90. */
export const drawnCrop = { id: 'A1', kind: 'vial', x: 30, y: 20, width: 120, height: 140 } as const;

/** Light through a round vial of liquid (Beer-Lambert along the chord), drawn sample by sample. */
export function drawVial(drawing: VialDrawing): RegionPixels {
  const step = drawing.pixelsPerSample ?? 1;
  const width = drawnCrop.width / step;
  const height = drawnCrop.height / step;
  const planes = [0, 1, 2].map(() => new Float32Array(width * height));
  const random = createRandom(drawing.seed ?? 'vial');
  for (let index = 0; index < width * height; index += 1) {
    const x = drawnCrop.x + ((index % width) + 0.5) * step - (drawing.dx ?? 0);
    const y = drawnCrop.y + (Math.floor(index / width) + 0.5) * step - (drawing.dy ?? 0);
    const chord = Math.sqrt(Math.max(0, 1 - ((x - 90) / 50) ** 2));
    const empty = drawing.meniscusY !== undefined && y < drawing.meniscusY;
    const glass = chord === 0 || chord < 0.25 ? 0.6 : 1;
    for (let channel = 0; channel < 3; channel += 1) {
      const gain = drawing.gains?.[channel] ?? 1;
      let light = 0.8 * glass * (empty ? 1 : 10 ** (-drawing.absorbance[channel]! * chord));
      if (drawing.glare !== undefined && Math.abs(x - drawing.glare.x) < drawing.glare.halfWidth)
        light += drawing.glare.strength;
      planes[channel]![index] = encodeSrgb(light * gain) + (drawing.noise ?? 0.012) * random.normal();
    }
  }
  return {
    id: 'A1',
    kind: 'vial',
    x: drawnCrop.x,
    y: drawnCrop.y,
    width,
    height,
    pixelsPerSample: step,
    red: planes[0]!,
    green: planes[1]!,
    blue: planes[2]!,
  };
}
