import { ciede2000, type Lab } from '../colour/index.ts';
import { stretchedDistance } from './distance.ts';
import type { Noise, Unit, VialColour, View } from './types.ts';

/**
 * Root-mean-square CIEDE2000 taken for two like vials where a run has no replicates. Chosen, no source: about what drops of reagent counted by
 * hand bring about; it only serves to say that two colours differ, never that they agree.
 */
export const assumedLikeVials = 5;

/** Errors of the difference of two units that more vials do not lessen, root-mean-square CIEDE2000. */
export interface SharedErrors {
  readonly placeError: number;
  readonly dayError: number;
}

/**
 * Root-mean-square CIEDE2000 between two places of one picture. Measured on the modelled demo panel (vignetting 15 %, light corrected by patches):
 * 1.6 between one liquid at the ends of the rack, while replicates side by side were 0.6 apart.
 */
export const usualPlaceError = 1.6;

/**
 * Scatter of replicate vials about their own means, all liquids pooled, and how many directions it spreads over. Never below what frame
 * noise and the halves of the regions show. The errors that replicates share are handed through.
 */
export function noiseOf(units: readonly Unit[], view: View, errors: SharedErrors): Noise {
  const placeVariance = errors.placeError ** 2 * (1 - spreadOfReplicates(units));
  const dayVariance = errors.dayError ** 2;
  const residuals: number[][] = [];
  let squares = 0;
  let df = 0;
  const seen: VialColour[] = [];
  for (const unit of units) {
    const vials = unit.vials.filter((vial) => view === 'final' || vial.history !== null);
    seen.push(...vials);
    if (vials.length < 2) continue;
    df += vials.length - 1;
    for (const vial of vials) {
      if (view === 'final') {
        squares += ciede2000(vial.final, unit.final) ** 2;
        residuals.push(weighted(vial.final, unit.final));
      } else {
        squares += stretchedDistance(vial.history!, unit.history!).value ** 2;
        residuals.push(vial.history!.flatMap((colour, index) => weighted(colour, unit.history![index]!)));
      }
    }
  }
  // A history averages over many frames: what is left of the reading error is the part that stays, at most all of it.
  const floor = seen.length === 0 ? 0 : seen.reduce((sum, vial) => sum + vial.readingError ** 2, 0) / seen.length;
  if (df === 0) {
    return {
      variance: Math.max(floor, assumedLikeVials ** 2 / 2),
      directions: 1,
      df: 0,
      placeVariance,
      dayVariance,
      raised: false,
    };
  }
  return {
    variance: Math.max(floor, squares / df),
    directions: directionsOf(residuals, df),
    df,
    placeVariance,
    dayVariance,
    raised: floor > squares / df,
  };
}

/**
 * Differences of lightness, chroma and hue of one colour from another, in the weights of CIEDE2000 (G. Sharma, W. Wu, E. N. Dalal,
 * Color Res. Appl. 30:21, 2005) without its rotation term: only used to see along how many directions colours scatter.
 */
function weighted([l, a, b]: Lab, [l0, a0, b0]: Lab): number[] {
  const chroma = Math.hypot(a0, b0);
  const [ux, uy] = chroma > 1e-6 ? [a0 / chroma, b0 / chroma] : [1, 0];
  const da = a - a0;
  const db = b - b0;
  const lightness = (l0 - 50) ** 2;
  return [
    (l - l0) / (1 + (0.015 * lightness) / Math.sqrt(20 + lightness)),
    (da * ux + db * uy) / (1 + 0.045 * chroma),
    (db * ux - da * uy) / (1 + 0.015 * chroma),
  ];
}

/**
 * tr(S)^2 / tr(S^2) of the residuals' covariance S, within 1..3: an effective number of directions (F. E. Satterthwaite, Biometrics Bulletin 2:110,
 * 1946). Chance makes it too small, which is the careful side (measured: the estimate without bias let false differences rise to 10 % where
 * vials scatter along one line). Below three degrees of freedom it is taken as 1.
 */
function directionsOf(residuals: readonly (readonly number[])[], df: number): number {
  if (df < 3) return 1;
  let trace = 0;
  let square = 0;
  // tr(S^2) through inner products: histories have more axes than there are vials.
  for (const first of residuals) {
    for (const second of residuals) {
      const product = first.reduce((sum, value, index) => sum + value * second[index]!, 0);
      square += (product / df) ** 2;
      if (first === second) trace += product / df;
    }
  }
  return square > 0 ? Math.min(3, Math.max(1, (trace * trace) / square)) : 3;
}

/**
 * How far replicates stand apart compared with all vials, 0 (side by side) to 1 (as far as any two): mean squared distances. Replicates spread
 * over the rack show the unevenness of the light in their own scatter, so that nothing need be added for it.
 */
function spreadOfReplicates(units: readonly Unit[]): number {
  const within = units.flatMap(({ vials }) => squaredDistances(vials));
  const among = squaredDistances(units.flatMap(({ vials }) => vials));
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  if (within.length === 0 || !(mean(among) > 0)) return 0;
  return Math.min(1, mean(within) / mean(among));
}

function squaredDistances(vials: readonly VialColour[]): readonly number[] {
  return vials.flatMap(({ place: first }, index) =>
    vials
      .slice(index + 1)
      .flatMap(({ place: second }) =>
        first === null || second === null ? [] : [(first[0] - second[0]) ** 2 + (first[1] - second[1]) ** 2],
      ),
  );
}
