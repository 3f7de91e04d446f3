import { createRandom } from '../numeric/random.ts';
import type { Scenario } from './scenario.ts';

/** Steps of the linear scale 0..1: five to the finest step of the 8-bit code, so that rounding adds nothing to see. */
const steps = 16384;
/** Tables reach to twice white, and this far below black: beyond every linear value times gain, noise included. */
const pad = 4096;
/** The noise level is looked up this much more coarsely. */
const coarse = 4;
const poolSize = 1 << 17;

/** Linear light is cut to this before it meets a sensor; more than twice white never differs in 8 bit. */
export const linearLimits = { low: -0.1, high: 1.5 } as const;

export interface Sensor {
  /** Turns linear light (three floats a pixel) into encoded bytes: gains, fresh noise, sRGB curve, 8 bit. */
  expose(
    linear: Float32Array,
    gains: readonly [number, number, number],
    width: number,
    frame: number,
    out: Uint8Array,
  ): void;
}

/**
 * The camera's sensor and picture curve. Noise is independent between pixels and frames: shot and read noise, variance
 * `readNoise^2 + shotNoise * signal`. It is drawn from a pool of normals entered at a random place in every row, which is
 * some twenty times faster than drawing each. Demosaicing, which makes neighbours alike, is left out.
 */
export function createSensor(scenario: Scenario): Sensor {
  const { readNoise, shotNoise, tone, toneGamma } = scenario.camera;
  const pool = normalPool(scenario.seed);
  const sigma = Float32Array.from({ length: (2 * steps) >> coarse }, (_, index) => {
    return steps * Math.sqrt(readNoise * readNoise + (shotNoise * (index << coarse)) / steps);
  });
  const codes = Uint8Array.from({ length: 2 * steps + 2 * pad }, (_, index) =>
    Math.round(255 * toneCurve(encodeSrgb((index - pad + 0.5) / steps), tone, toneGamma)),
  );
  return {
    expose(linear, gains, width, frame, out) {
      const random = createRandom(`${scenario.seed}/noise/${frame}`);
      // Gains above this would leave the tables; the scenario's schema allows less.
      const [red, green, blue] = gains.map((gain) => Math.min(1.3, gain) * steps) as [number, number, number];
      const rowLength = 3 * width;
      for (let start = 0; start < linear.length; start += rowLength) {
        let entry = random.integer(poolSize - rowLength);
        const end = start + rowLength;
        for (let at = start; at < end; at += 3, entry += 3) {
          const r = linear[at]! * red;
          const g = linear[at + 1]! * green;
          const b = linear[at + 2]! * blue;
          // The pad is added before the truncation, which so is a floor.
          out[at] = codes[(r + sigma[r < 0 ? 0 : r >> coarse]! * pool[entry]! + pad) | 0]!;
          out[at + 1] = codes[(g + sigma[g < 0 ? 0 : g >> coarse]! * pool[entry + 1]! + pad) | 0]!;
          out[at + 2] = codes[(b + sigma[b < 0 ? 0 : b >> coarse]! * pool[entry + 2]! + pad) | 0]!;
        }
      }
    },
  };
}

/** Normals with mean exactly 0, so that the pool brings no offset. Longer than a row of any frame. */
function normalPool(seed: string): Float32Array {
  const random = createRandom(`${seed}/pool`);
  const pool = Float32Array.from({ length: poolSize }, () => random.normal());
  const mean = pool.reduce((sum, value) => sum + value, 0) / poolSize;
  return pool.map((value) => value - mean);
}

/** sRGB encoding (IEC 61966-2-1), cut to 0..1. */
function encodeSrgb(linear: number): number {
  const cut = Math.min(1, Math.max(0, linear));
  return cut <= 0.0031308 ? 12.92 * cut : 1.055 * cut ** (1 / 2.4) - 0.055;
}

/** A curve as phones lay over sRGB: `tone` of the way to a smooth step, then a power. */
function toneCurve(encoded: number, tone: number, gamma: number): number {
  const bent = encoded + tone * (encoded * encoded * (3 - 2 * encoded) - encoded);
  return gamma === 1 ? bent : bent ** gamma;
}

/** Linear light as someone reads it back who takes the picture's curve for plain sRGB. */
export function readBack(linear: number, tone: number, gamma: number): number {
  if ((tone === 0 && gamma === 1) || linear <= 0) return linear;
  const code = toneCurve(encodeSrgb(linear), tone, gamma);
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
}
