import type { KineticSeries } from '../../src/kinetics/kinetic-series.ts';
import { createRandom } from '../../src/numeric/random.ts';

/** How a simulated series errs: an AR(1) part and a white part, each with its own standard deviation per frame. */
export interface SimulatedNoise {
  readonly rho: number;
  readonly correlatedSd: number;
  readonly whiteSd: number;
}

/** A series of `count` frames over `spanS` seconds with known truth, repeatable by seed. */
export function simulateSeries(
  truth: (timeS: number) => number,
  seed: string,
  options: {
    readonly count?: number;
    readonly spanS?: number;
    readonly firstS?: number;
  } & Partial<SimulatedNoise> = {},
): KineticSeries {
  const { count = 200, spanS = 7200, firstS = 5, rho = 0.5, correlatedSd = 0.003, whiteSd = 0.003 } = options;
  const random = createRandom(seed);
  let state = random.normal();
  const timeS = Array.from({ length: count }, (_, i) => firstS + (i * spanS) / (count - 1));
  const extent = timeS.map((time) => {
    state = rho * state + Math.sqrt(1 - rho * rho) * random.normal();
    return truth(time) + correlatedSd * state + whiteSd * random.normal();
  });
  return { timeS, extent, extentSe: timeS.map(() => whiteSd) };
}

/** One true curve of every model, seconds to extent, over about two hours. */
export const truths = {
  none: () => 0,
  'zero-order': (t: number) => (0.1 * t) / 7200,
  'first-order': (t: number) => 1 - Math.exp(-t / 1200),
  'first-order-induction': (t: number) => (t < 1500 ? 0 : 1 - Math.exp(-(t - 1500) / 1000)),
  'burst-background': (t: number) => 0.08 * (1 - Math.exp(-t / 200)) + 0.92 * (1 - Math.exp(-t / 100_000)),
  consecutive: (t: number) => 1 - (Math.exp(-t / 1500) / 700 - Math.exp(-t / 700) / 1500) / (1 / 700 - 1 / 1500),
  sigmoid: (t: number) => (1 - Math.exp(-t / 500)) / (1 + Math.exp((3000 - t) / 500)),
  'second-order': (t: number) => (0.6 * t) / (400 + t),
} as const;
