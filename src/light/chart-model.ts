import { encodeSrgb } from '../colour/index.ts';
import { toneCurve, tonePieces } from './tone-curve.ts';
import type { ToneCurve } from './tone-curve.ts';

export type Triple = readonly [number, number, number];

export type ChartCurves = 'none' | 'common' | 'per-channel';

/** Tone curves, then a matrix: what was read (linear light, were the picture plain sRGB) to what a faultless camera would read. */
export interface ChartModel {
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** Rows of the matrix. */
  readonly matrix: readonly [Triple, Triple, Triple];
  /** Log brightness of the light over the chart, per unit of its width and height. */
  readonly tilt: readonly [number, number];
}

const bends = { none: 0, common: 1, 'per-channel': 3 } as const;

export const matrixCount = 9;
export const tiltCount = 2;
export const bendCount = (curves: ChartCurves): number => bends[curves] * (tonePieces - 1);

/** The model of a parameter vector: matrix row by row, tilt, bends. */
export function modelOf(parameters: ArrayLike<number>, curves: ChartCurves): ChartModel {
  const p = Array.from(parameters);
  const first = matrixCount + tiltCount;
  const bendOf = (channel: number): number[] => {
    if (curves === 'none') return [];
    const from = first + (curves === 'common' ? 0 : channel * (tonePieces - 1));
    return p.slice(from, from + tonePieces - 1);
  };
  const one = toneCurve(bendOf(0));
  return {
    curves: curves === 'per-channel' ? [one, toneCurve(bendOf(1)), toneCurve(bendOf(2))] : [one, one, one],
    matrix: [
      [p[0]!, p[1]!, p[2]!],
      [p[3]!, p[4]!, p[5]!],
      [p[6]!, p[7]!, p[8]!],
    ],
    tilt: [p[9]!, p[10]!],
  };
}

/** Linear light at the sensor, up to a factor, of one channel as read. */
function sensorLight(curve: ToneCurve, read: number): number {
  return decodeSrgb(curve.at(encodeSrgb(read)));
}

/** Change of {@link sensorLight} with the light as read. */
export function sensorSlope(curve: ToneCurve, read: number): number {
  const encoded = encodeSrgb(read);
  return (decodeSlope(curve.at(encoded)) * curve.slope(encoded)) / decodeSlope(encoded);
}

/** The corrected colour, light of the chart's middle. */
export function corrected(model: ChartModel, read: Triple): Triple {
  const [r, g, b] = [0, 1, 2].map((channel) => sensorLight(model.curves[channel]!, read[channel]!)) as [
    number,
    number,
    number,
  ];
  const row = ([x, y, z]: Triple): number => x * r + y * g + z * b;
  return [row(model.matrix[0]), row(model.matrix[1]), row(model.matrix[2])];
}

/** IEC 61966-2-1, odd below 0. */
function decodeSrgb(encoded: number): number {
  const size = Math.abs(encoded);
  const light = size <= 0.04045 ? size / 12.92 : ((size + 0.055) / 1.055) ** 2.4;
  return encoded < 0 ? -light : light;
}

function decodeSlope(encoded: number): number {
  const size = Math.abs(encoded);
  return size <= 0.04045 ? 1 / 12.92 : (2.4 / 1.055) * ((size + 0.055) / 1.055) ** 1.4;
}
