import { describe, expect, it } from 'vitest';
import { backdropPlaces } from '../../src/backdrop-places.ts';
import { plainColour } from '../../src/colour/index.ts';
import { fitBackdrop, type BackdropPiece } from '../../src/light/index.ts';
import type { RegionPixels } from '../../src/model/frame.ts';
import type { Region, Rig } from '../../src/model/region.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { shadingPrior } from '../../src/reaction/vial-layout.ts';

const box = (id: string, x: number, y: number, width = 40): Region => ({
  id,
  shape: 'rect',
  x,
  y,
  width,
  height: 60,
});
const rigOf = (regions: readonly Region[], white: readonly Region[] = []): Rig => ({
  name: 'bench',
  frame: { width: 640, height: 360 },
  regions,
  white,
  chart: null,
  thumbnail: null,
});
const inside = (region: Region): { left: number; right: number; top: number; bottom: number } => {
  if (region.shape !== 'rect') throw new Error('places are rectangles');
  return { left: region.x, right: region.x + region.width, top: region.y, bottom: region.y + region.height };
};

describe('places of backdrop', () => {
  it('lie in the middle of every gap of a row and beyond its ends, at the height of the liquid', () => {
    const places = backdropPlaces(rigOf([box('A1', 100, 50), box('A2', 200, 50), box('A3', 300, 50)])).map(inside);
    // gaps of 60 px: the middle third is 20 px wide; of 60 px height the middle half
    expect(places).toEqual([
      { left: 160, right: 180, top: 65, bottom: 95 },
      { left: 260, right: 280, top: 65, bottom: 95 },
      { left: 60, right: 80, top: 65, bottom: 95 },
      { left: 360, right: 380, top: 65, bottom: 95 },
    ]);
  });

  it('keep off patches, other rows, and the edge of the frame', () => {
    const rows = [box('A1', 5, 50), box('A2', 105, 50), box('B1', 5, 200), box('B2', 105, 200)];
    const patch = box('W', 175, 40, 30);
    const places = backdropPlaces(rigOf(rows, [patch])).map(inside);
    // left of A1 and B1 is no room; right of A2 lies the patch
    expect(places).toEqual([
      { left: 65, right: 85, top: 65, bottom: 95 },
      { left: 65, right: 85, top: 215, bottom: 245 },
      { left: 165, right: 185, top: 215, bottom: 245 },
    ]);
  });

  it('are none where vials stand side by side without a gap, or alone', () => {
    expect(backdropPlaces(rigOf([box('A1', 100, 50), box('A2', 142, 50)]))).toEqual([]);
    expect(backdropPlaces(rigOf([box('A1', 100, 50)]))).toEqual([]);
  });
});

/** Two rows of seven pieces, as beside a rack of 2 x 6, on a surface of log brightness. */
const spots = [-0.3, 0.35].flatMap((y) => [-0.7, -0.45, -0.2, 0, 0.25, 0.5, 0.75].map((x) => [x, y] as const));
const pieces = (log: (x: number, y: number) => number, tint = [1, 1, 1]): BackdropPiece[] =>
  spots.map(([x, y]) => {
    const light = 0.6 * Math.exp(log(x, y));
    return { place: [x, y], rgb: [[light * tint[0]!, light * tint[1]!, light * tint[2]!]] };
  });

describe('fall-off of light from a backdrop', () => {
  it('finds tilts and fall-off as they were made, whatever the colour of the lamp', () => {
    const made = pieces((x, y) => 0.06 * x - 0.11 * y - 0.2 * (x * x + y * y), [1.2, 1, 0.6]);
    const found = fitBackdrop(made)!;
    expect(found.pieces).toBe(14);
    expect(found.residual).toBeLessThan(0.002);
    expect(found.tiltX).toBeCloseTo(0.06, 2);
    expect(found.tiltY).toBeCloseTo(-0.11, 2);
    expect(Math.abs(found.fallOff + 0.2)).toBeLessThan(0.01);
  });

  // Natural fall-off of a lens: illuminance goes with the fourth power of the cosine of the field angle (the cosine-fourth law of
  // optics textbooks, e.g. E. Hecht, Optics; from memory). Half a diagonal is seen under `fieldAngle` here.
  it.each([15, 25])('follows the cosine-fourth law of a lens of half field %d degrees', (fieldAngle) => {
    const tangent = Math.tan((fieldAngle * Math.PI) / 180);
    const law = (x: number, y: number): number => 4 * Math.log(Math.cos(Math.atan(tangent * Math.hypot(x, y))));
    const found = fitBackdrop(pieces(law))!;
    const offset = spots.map(
      ([x, y]) => found.tiltX * x + found.tiltY * y + found.fallOff * (x * x + y * y) - law(x, y),
    );
    expect(Math.max(...offset) - Math.min(...offset)).toBeLessThan(0.02);
    expect(found.fallOff).toBeLessThan(-0.1);
  });

  it('takes the middle of the looks, and leaves out pieces by which a hand or a label stands', () => {
    const made = pieces((x) => 0.05 * x);
    const hand = made.map((piece, at) => ({
      ...piece,
      rgb: [piece.rgb[0]!, at < 7 ? ([0.1, 0.08, 0.07] as const) : null, piece.rgb[0]!],
    }));
    expect(fitBackdrop(hand)).toEqual(fitBackdrop(made));
    const labelled = made.map((piece, at) => (at === 4 ? { ...piece, rgb: [[0.3, 0.3, 0.3] as const] } : piece));
    const found = fitBackdrop(labelled)!;
    expect(found.pieces).toBe(13);
    expect(found.tiltX).toBeCloseTo(0.05, 2);
  });

  it('is unknown where there is no even backdrop', () => {
    const random = createRandom('uneven');
    const even = pieces(() => 0);
    expect(fitBackdrop(even)).not.toBeNull();
    expect(fitBackdrop([])).toBeNull();
    expect(fitBackdrop(even.slice(0, 5))).toBeNull();
    expect(fitBackdrop(even.map(({ place }) => ({ place, rgb: [null] })))).toBeNull();
    expect(fitBackdrop(pieces(() => -3))).toBeNull();
    expect(fitBackdrop(pieces(() => 0.1 * random.normal()))).toBeNull();
    // every second piece is a coloured thing
    expect(
      fitBackdrop(even.map((piece, at) => (at % 2 === 0 ? piece : { ...piece, rgb: [[0.6, 0.4, 0.2] as const] }))),
    ).toBeNull();
  });
});

describe('what a backdrop is believed', () => {
  it('leaves more room where it shows more, and never less than two hundredths', () => {
    const shown = { tiltX: 0, tiltY: -0.3, fallOff: -0.1, residual: 0.005, pieces: 14 };
    const { mean, sd } = shadingPrior(shown);
    expect(mean).toEqual([0, -0.3, -0.1]);
    expect(sd[0]).toBeCloseTo(Math.hypot(0.02, 0.005), 12);
    expect(sd[1]).toBeCloseTo(Math.hypot(0.02, 0.03, 0.005), 12);
    expect(shadingPrior(null).sd.every((one, at) => one > sd[at]!)).toBe(true);
  });
});

describe('colour of a plain piece', () => {
  const pixels = (values: readonly number[]): RegionPixels => ({
    ...{ id: 'p', kind: 'white', x: 0, y: 0, width: values.length, height: 1, pixelsPerSample: 1 },
    ...{ red: Float32Array.from(values), green: new Float32Array(values.length).fill(1) },
    blue: new Float32Array(values.length),
  });
  it('is the decoded median of each channel', () => {
    // IEC 61966-2-1: 0.5 encoded is 0.21404 linear
    const colour = plainColour(pixels([0.5, 0.5, 0.9, 0.5, 0.1]), 'srgb')!;
    expect(colour[0]).toBeCloseTo(0.21404, 4);
    expect([colour[1], colour[2]]).toEqual([1, 0]);
  });
  it('is unknown without samples', () => {
    expect(plainColour(pixels([]), 'srgb')).toBeNull();
  });
});
