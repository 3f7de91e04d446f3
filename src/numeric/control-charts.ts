import { mean } from './mean.ts';

/** d2 of ranges of two: mean range over standard deviation, 2 / sqrt(pi) (the tables' 1.128). */
const rangeOfTwo = 2 / Math.sqrt(Math.PI);

/** Lines of a chart and which values lie outside. */
export interface IndividualsChart {
  readonly centre: number;
  readonly meanMovingRange: number;
  readonly lower: number;
  readonly upper: number;
  readonly outside: readonly number[];
}

/**
 * Individuals chart: mean -+ 3 mean moving ranges / d2 (NIST/SEMATECH e-Handbook 6.3.2.2). `null` below two values.
 */
export function individualsChart(values: readonly number[]): IndividualsChart | null {
  if (values.length < 2) return null;
  const centre = mean(values);
  let ranges = 0;
  for (let i = 1; i < values.length; i += 1) ranges += Math.abs(values[i]! - values[i - 1]!);
  const meanMovingRange = ranges / (values.length - 1);
  const reach = (3 * meanMovingRange) / rangeOfTwo;
  const outside = values.flatMap((value, i) => (Math.abs(value - centre) > reach ? [i] : []));
  return { centre, meanMovingRange, lower: centre - reach, upper: centre + reach, outside };
}

export interface EwmaChart {
  /** One value an observation. */
  readonly ewma: readonly number[];
  readonly lower: number;
  readonly upper: number;
  readonly outside: readonly number[];
}

/**
 * Exponentially weighted moving average chart with its asymptotic limits, target -+ width s sqrt(lambda / (2 - lambda))
 * (NIST/SEMATECH e-Handbook 6.3.2.4). Sees small lasting shifts that single values hide.
 * Throws RangeError unless 0 < lambda <= 1 and sd > 0.
 */
export function ewmaChart(
  values: readonly number[],
  options: { readonly target: number; readonly sd: number; readonly lambda?: number; readonly width?: number },
): EwmaChart {
  const { target, sd, lambda = 0.3, width = 3 } = options;
  if (!(lambda > 0 && lambda <= 1) || !(sd > 0)) throw new RangeError(`ewmaChart: lambda ${lambda}, sd ${sd}`);
  let level = target;
  const ewma = values.map((value) => (level = lambda * value + (1 - lambda) * level));
  const reach = width * sd * Math.sqrt(lambda / (2 - lambda));
  const outside = ewma.flatMap((value, i) => (Math.abs(value - target) > reach ? [i] : []));
  return { ewma, lower: target - reach, upper: target + reach, outside };
}
