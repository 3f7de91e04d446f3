import type { ChartTable } from '../model/chart.ts';

type Triple = readonly [number, number, number];
type Rows = readonly [Triple, Triple, Triple];

/** CIE XYZ of D65, Y = 1 (x 0.3127, y 0.3290, the white of IEC 61966-2-1). */
const whiteD65: Triple = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];

/** Bradford cone responses (ICC.1:2022, annex E; printed by B. Lindbloom, "Chromatic Adaptation"; from memory, tested against culori's matrices). */
const bradford: Rows = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];
/** Its inverse, same sources. */
const bradfordInverse: Rows = [
  [0.9869929, -0.1470543, 0.1599627],
  [0.4323053, 0.5183603, 0.0492912],
  [-0.0085287, 0.0400428, 0.9684867],
];
/** XYZ (D65) to linear light of the sRGB primaries: IEC 61966-2-1 in the longer form of CSS Color 4. */
const toLinearSrgb: Rows = [
  [3.2409699419045226, -1.537383177570094, -0.4986107602930034],
  [-0.9692436362808796, 1.8759675015077202, 0.04155505740717559],
  [0.05563007969699366, -0.20397695888897652, 1.0569715142428786],
];

/** A colour under one light as it corresponds under D65 (Bradford adaptation); XYZ relative to the light's white, Y = 1. */
export function adaptToD65(xyz: Triple, white: Triple): Triple {
  const cone = times(bradford, xyz);
  const from = times(bradford, white);
  const to = times(bradford, whiteD65);
  return times(bradfordInverse, [
    (cone[0] * to[0]) / from[0],
    (cone[1] * to[1]) / from[1],
    (cone[2] * to[2]) / from[2],
  ]);
}

/** What a faultless camera would show of each cell: linear light of the sRGB primaries, white = 1; `null` without values. */
export function chartTargets(table: ChartTable): readonly (Triple | null)[] {
  return table.cells.map((cell) => {
    if (cell === null) return null;
    const xyz = table.kind === 'xyz' ? cell : labToXyz(cell, table.white);
    return times(toLinearSrgb, adaptToD65(xyz, table.white));
  });
}

/** CIELAB to XYZ (CIE 15). */
function labToXyz([lightness, a, b]: Triple, white: Triple): Triple {
  const y = (lightness + 16) / 116;
  const cube = (root: number): number => (root > 6 / 29 ? root ** 3 : (108 / 841) * (root - 4 / 29));
  return [white[0] * cube(y + a / 500), white[1] * cube(y), white[2] * cube(y - b / 200)];
}

function times(rows: Rows, vector: Triple): Triple {
  const row = ([a, b, c]: Triple): number => a * vector[0] + b * vector[1] + c * vector[2];
  return [row(rows[0]), row(rows[1]), row(rows[2])];
}
