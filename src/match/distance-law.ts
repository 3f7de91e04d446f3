import { chiSquareQuantile } from '../numeric/chi-square.ts';
import { gaussLegendre } from '../numeric/gauss-legendre.ts';
import { logGamma } from '../numeric/log-gamma.ts';
import { normalCdf, normalDensity } from '../numeric/normal.ts';

/** Noise of the difference of two means, squared units of the distance. */
export interface DifferenceNoise {
  /** Mean squared length of the error of the difference. */
  readonly variance: number;
  /** Effective number of directions, 1..3. */
  readonly directions: number;
  /** Degrees of freedom with which `variance` is known. */
  readonly df: number;
}

/** Standard deviations beyond which nothing of a normal error is left to count. */
const widest = 7;
const unitNodes = gaussLegendre(48, -1, 1);
/**
 * P(distance found <= `found` | the true distance is `truth`), the noise being known only as an estimate with `df`.
 * The error is normal with one direction of variance l1 and two of l2, the split that puts most into one direction for
 * the given total and effective number (total^2 / sum of squares); the true difference lies along it, the worst case. With three
 * equal directions and `truth` 0 this is the F law of Hotelling's isotropic case, with one it is Student's.
 */
export function distanceCdf(found: number, truth: number, noise: DifferenceNoise): number {
  const { variance, directions, df } = noise;
  if (!(variance > 0)) return found >= truth ? 1 : 0;
  const unevenness = Math.sqrt(Math.max(0, 3 / Math.min(3, Math.max(1, directions)) - 1));
  const l1 = (variance / 3) * (1 + Math.SQRT2 * unevenness);
  const l2 = Math.max(0, variance - l1) / 2;
  const sd = Math.sqrt(l1);
  let sum = 0;
  for (const { s, mass } of scalesOf(df)) {
    const reach = found * s;
    // Errors along the line that stay within reach, and no others: nodes across the edge would miss where it lies.
    const from = Math.max(-widest, (-reach - truth) / sd);
    const to = Math.min(widest, (reach - truth) / sd);
    if (to <= from) continue;
    sum += mass * (l2 > 1e-9 * l1 ? within(reach, truth, sd, l2, from, to) : normalCdf(to) - normalCdf(from));
  }
  return Math.min(1, sum);
}

/** The same along the line from `from` to `to` standard deviations, and in the two directions across together (chi-square with 2 degrees of freedom). */
function within(reach: number, truth: number, sd: number, l2: number, from: number, to: number): number {
  const [middle, half] = [(from + to) / 2, (to - from) / 2];
  let sum = 0;
  unitNodes.nodes.forEach((node, index) => {
    const z = middle + half * node;
    const rest = reach ** 2 - (truth + sd * z) ** 2;
    sum += unitNodes.weights[index]! * normalDensity(z) * -Math.expm1(-rest / (2 * l2));
  });
  return half * sum;
}

interface Scale {
  /** Estimated over true standard deviation. */
  readonly s: number;
  readonly mass: number;
}
const kept = new Map<number, readonly Scale[]>();

/** Law of the estimated over the true standard deviation, df s^2 being chi-square; masses add up to 1. */
function scalesOf(df: number): readonly Scale[] {
  const known = kept.get(df);
  if (known !== undefined) return known;
  const scales = df > 1e6 ? [{ s: 1, mass: 1 }] : quadrature(df);
  kept.set(df, scales);
  return scales;
}

function quadrature(df: number): readonly Scale[] {
  const from = Math.sqrt(chiSquareQuantile(1e-9, df) / df);
  const to = Math.sqrt(chiSquareQuantile(1 - 1e-9, df) / df);
  const { nodes, weights } = gaussLegendre(40, from, to);
  const constant = Math.log(2) + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  const masses = nodes.map((s, i) => weights[i]! * Math.exp(constant + (df - 1) * Math.log(s) - (df * s * s) / 2));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return Array.from(nodes, (s, i) => ({ s, mass: masses[i]! / total }));
}
