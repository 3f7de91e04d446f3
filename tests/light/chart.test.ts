import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { ciede2000, linearRgbToLab } from '../../src/colour/index.ts';
import { applyChartModel } from '../../src/light/apply-chart.ts';
import { chartCells } from '../../src/light/chart-cells.ts';
import { chartCorrection } from '../../src/light/chart-correction.ts';
import type { ChartReading } from '../../src/light/chart-correction.ts';
import { modelOf } from '../../src/light/chart-model.ts';
import { adaptToD65, chartTargets } from '../../src/light/chart-targets.ts';
import { toneCurve } from '../../src/light/tone-curve.ts';
import type { ChartTable } from '../../src/model/chart.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { columns } from './runs.ts';

type Triple = readonly [number, number, number];

const whiteD50: Triple = [0.96422, 1, 0.82521];
/** Lab (D50) of an invented chart of 24 paints: 18 hues and six greys. */
const cells: readonly Triple[] = [
  ...Array.from({ length: 18 }, (_, index): Triple => {
    const angle = (2 * Math.PI * index) / 18;
    const chroma = 22 + 14 * (index % 3);
    return [35 + 13 * ((index * 7) % 4), chroma * Math.cos(angle), chroma * Math.sin(angle)];
  }),
  ...[95, 81, 66, 51, 36, 21].map((lightness): Triple => [lightness, 0, 0]),
];
const table: ChartTable = { kind: 'lab', white: whiteD50, illuminant: 'D50', illuminantStated: false, cells };
const chart = { rows: 4, columns: 6 };
const targets = chartTargets(table) as readonly Triple[];

const encode = (light: number): number => (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);
const decode = (code: number): number => (code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4);
/** A phone: another matrix, an S-shaped curve, a power of 0.8. */
const mixing: readonly Triple[] = [
  [0.8, 0.15, 0.05],
  [0.08, 0.84, 0.08],
  [0.04, 0.14, 0.82],
];
const sensor = (rgb: Triple): Triple =>
  mixing.map((row) => 0.9 * row.reduce((sum, value, index) => sum + value * rgb[index]!, 0)) as unknown as Triple;
const phone = (rgb: Triple): Triple =>
  sensor(rgb).map((light) => {
    const code = encode(Math.min(1, Math.max(0, light)));
    return decode((code * code * (3 - 2 * code)) ** 0.8);
  }) as unknown as Triple;

/** The chart through the phone, under light that falls by 10 % across it, with reading noise. */
function readings(
  camera: (rgb: Triple) => Triple,
  change: (index: number) => Partial<ChartReading> = () => ({}),
): ChartReading[] {
  const random = createRandom('chart');
  return targets.map((target, index) => {
    const light = 1 - 0.1 * ((index % 6) / 5 - 0.5);
    const seen = camera(target.map((value) => value * light) as unknown as Triple);
    const rgb = seen.map((value) => value * (1 + 0.003 * random.normal())) as unknown as Triple;
    return { name: `P${index + 1}`, rgb, clipped: 0, ...change(index) };
  });
}

describe('chart cells', () => {
  it('follow the corners of a chart seen straight, turned, and in perspective', () => {
    const middle = (points: readonly (readonly [number, number])[]): number[] =>
      [0, 1].map((axis) => points.reduce((sum, point) => sum + point[axis as 0 | 1], 0) / points.length);
    const straight = chartCells({
      rows: 2,
      columns: 3,
      corners: [
        [0, 0],
        [30, 0],
        [30, 20],
        [0, 20],
      ],
    });
    expect(straight.map(({ id }) => id)).toEqual(['A1', 'A2', 'A3', 'B1', 'B2', 'B3']);
    expect(straight.map(({ points }) => middle(points))).toEqual([
      [5, 5],
      [15, 5],
      [25, 5],
      [5, 15],
      [15, 15],
      [25, 15],
    ]);
    const turned = chartCells({
      rows: 2,
      columns: 3,
      corners: [
        [30, 20],
        [0, 20],
        [0, 0],
        [30, 0],
      ],
    });
    expect(middle(turned[0]!.points)).toEqual([25, 15]);
    // Lines stay lines: the middle of a chart is where its diagonals cross.
    const leaning = chartCells({
      rows: 1,
      columns: 1,
      corners: [
        [0, 0],
        [40, 4],
        [36, 24],
        [2, 30],
      ],
    })[0]!;
    const [a, b, c, d] = leaning.points as readonly [Triple, Triple, Triple, Triple] & typeof leaning.points;
    const cross = (p: readonly number[], q: readonly number[], r: readonly number[]): number =>
      (q[0]! - p[0]!) * (r[1]! - p[1]!) - (q[1]! - p[1]!) * (r[0]! - p[0]!);
    expect(cross([0, 0], a, [36, 24])).toBeCloseTo(0, 6);
    expect(cross([40, 4], b, [2, 30])).toBeCloseTo(0, 6);
    expect(cross([0, 0], c, [36, 24])).toBeCloseTo(0, 6);
    expect(cross([40, 4], d, [2, 30])).toBeCloseTo(0, 6);
  });
});

describe('targets under D65', () => {
  it('are those of culori, D50 to D65 by Bradford (its matrices after CSS Color 4)', () => {
    const convert = converter('lrgb');
    for (const [index, [l, a, b]] of cells.entries()) {
      const expected = convert({ mode: 'lab', l, a, b });
      const found = targets[index]!;
      [expected.r, expected.g, expected.b].forEach((value, channel) => expect(found[channel]).toBeCloseTo(value, 3));
    }
  });

  it('use the Bradford matrix that B. Lindbloom prints for D50 to D65 (from memory, five decimals)', () => {
    const printed = [
      [0.9555766, -0.0230393, 0.0631636],
      [-0.0282895, 1.0099416, 0.0210077],
      [0.0122982, -0.020483, 1.3299098],
    ];
    const column = (at: number): Triple =>
      adaptToD65([0, 1, 2].map((index) => (index === at ? 1 : 0)) as unknown as Triple, whiteD50);
    for (let at = 0; at < 3; at += 1)
      column(at).forEach((value, row) => expect(value).toBeCloseTo(printed[row]![at]!, 3));
  });
});

it('a tone curve rises from 0 to 1 whatever its bends, is the identity without any, and tells its slope', () => {
  const plain = toneCurve([]);
  for (const x of [-0.1, 0, 0.2, 0.7, 1, 1.2]) expect(plain.at(x)).toBeCloseTo(x, 12);
  const bent = toneCurve([-2, 3, 0.5, -1, 2]);
  let before = bent.at(-0.05);
  for (let x = 0; x <= 1.05; x += 0.01) {
    expect(bent.at(x)).toBeGreaterThan(before);
    before = bent.at(x);
  }
  expect(bent.at(0)).toBe(0);
  expect(bent.at(1)).toBeCloseTo(1, 12);
  expect((bent.at(0.4001) - bent.at(0.3999)) / 0.0002).toBeCloseTo(bent.slope(0.4), 5);
});

describe('chartCorrection', () => {
  it('undoes an S-shaped curve with a power of 0.8 and another matrix, and states what is left', () => {
    const { report, apply, colour } = chartCorrection(table, chart, readings(phone));
    expect(report).toMatchObject({ applied: true, used: 24, patches: 24, leftOut: [], curves: 'common' });
    expect(report.uncorrectedMeanDeltaE!).toBeGreaterThan(4);
    expect(report.meanDeltaE!).toBeLessThan(1);
    expect(report.leftOutMeanDeltaE!).toBeLessThan(1.5);
    // Colours that were not on the chart: greens to oranges of the reaction, half as bright as the chart's white and darker.
    const others: readonly Triple[] = [
      [0.5, 0.2, 0.03],
      [0.3, 0.22, 0.05],
      [0.12, 0.2, 0.12],
      [0.08, 0.1, 0.07],
      [0.6, 0.6, 0.6],
    ];
    const seen = apply(columns('V', 'vial', others.length, (at) => phone(others[at]!), 0));
    const level = seen.green.at(-1)! / 0.6;
    // One colour alone is corrected as a region's are.
    others.forEach((truth, at) => expect(colour(phone(truth))).toEqual([seen.red[at], seen.green[at], seen.blue[at]]));
    others.forEach((truth, at) => {
      const found = [seen.red[at]! / level, seen.green[at]! / level, seen.blue[at]! / level] as const;
      expect(ciede2000(linearRgbToLab(truth), linearRgbToLab(found))).toBeLessThan(1.5);
    });
    // A change of light is a common factor again: 20 % less light is 20 % less in every channel, bright or dark.
    const dimmed = apply(
      columns(
        'V',
        'vial',
        others.length,
        (at) => phone(others[at]!.map((value) => 0.8 * value) as unknown as Triple),
        0,
      ),
    );
    const raw = others.map(
      (truth) => phone(truth.map((value) => 0.8 * value) as unknown as Triple)[1] / phone(truth)[1],
    );
    expect(Math.max(...raw) - Math.min(...raw)).toBeGreaterThan(0.08);
    others.forEach((_, at) => expect(dimmed.green[at]! / seen.green[at]!).toBeCloseTo(0.8, 1.7));
  });

  it('needs no curve for a camera that writes plain sRGB', () => {
    const { report } = chartCorrection(table, chart, readings(sensor));
    expect(report).toMatchObject({ applied: true, curves: 'none' });
    expect(report.meanDeltaE!).toBeLessThan(0.5);
  });

  it('leaves out and names patches that are clipped, unread, or covered by something else', () => {
    const { report } = chartCorrection(
      table,
      chart,
      readings(phone, (index) =>
        index === 18 ? { clipped: 0.4 } : index === 3 ? { rgb: null } : index === 10 ? { rgb: [0.3, 0.2, 0.15] } : {},
      ),
    );
    expect(report).toMatchObject({ applied: true, used: 21, patches: 24 });
    expect(report.leftOut.map(({ patch }) => patch)).toEqual(['P4', 'P19', 'P11']);
    expect(report.leftOut[2]!.reason).toMatch(/covered/);
    expect(report.meanDeltaE!).toBeLessThan(1);
  });

  it('is not applied with too few patches, the wrong way round, or the wrong table; and says why', () => {
    const few = chartCorrection(
      table,
      chart,
      readings(phone, (index) => (index < 14 ? { clipped: 1 } : {})),
    );
    expect(few.report).toMatchObject({ applied: false, used: 10, reason: expect.stringContaining('only 10 of 24') });
    const upsideDown = chartCorrection(table, chart, readings(phone).toReversed());
    expect(upsideDown.report.applied).toBe(false);
    expect(upsideDown.report.reason).toMatch(/corners|far off/);
    const untouched = columns('V', 'vial', 3, () => [0.5, 0.2, 0.1]);
    expect(upsideDown.apply(untouched)).toBe(untouched);
    expect(upsideDown.colour([0.5, 0.2, 0.1])).toEqual([0.5, 0.2, 0.1]);
  });

  it('carries standard errors through curve and matrix', () => {
    const model = modelOf([1, 0, 0, 0, 2, 0, 0, 0.5, 1, 0, 0], 'none');
    const out = applyChartModel(
      columns('V', 'vial', 1, () => [0.4, 0.3, 0.2], 0.01),
      model,
    );
    const read = columns('V', 'vial', 1, () => [0.4, 0.3, 0.2], 0.01);
    expect(out.greenSe[0]! / read.greenSe[0]!).toBeCloseTo(2, 6);
    expect(out.blueSe[0]!).toBeCloseTo(Math.hypot(0.5 * read.greenSe[0]!, read.blueSe[0]!), 6);
    expect(out.blue[0]!).toBeCloseTo(0.5 * read.green[0]! + read.blue[0]!, 6);
    expect(
      applyChartModel(
        columns('V', 'vial', 1, () => null),
        model,
      ).red,
    ).toEqual([null]);
  });
});
