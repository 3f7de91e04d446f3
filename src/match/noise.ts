import { mean } from '../numeric/mean.ts';
import { ciede2000, type Lab } from '../colour/index.ts';
import { stretchedDistance } from './distance.ts';
import { unevenRest } from './place-light.ts';
import { scatterScale } from './sensitivity.ts';
import type { Noise, Unit, VialColour, View } from './types.ts';

/**
 * Root-mean-square CIEDE2000 taken for two like vials where a run has no replicates. Chosen, no source: about what drops of reagent counted by
 * hand bring about; it only serves to say that two colours differ, never that they agree.
 */
const assumedLikeVials = 5;

/**
 * Scatter of replicate vials about their own means, all liquids pooled in proportion to what their colours make of like errors, and how many directions it
 * spreads over. `spentDf`: degrees of freedom that the light took (place-light.ts). `dayError`: root-mean-square CIEDE2000 shared by all vials of another run.
 */
export function noiseOf(units: readonly Unit[], view: View, spentDf: number, dayError: number): Noise {
  const residuals: number[][] = [];
  let squares = 0;
  let replicates = 0;
  const seen: VialColour[] = [];
  for (const unit of units) {
    const vials = unit.vials.filter((vial) => view === 'final' || vial.history !== null);
    seen.push(...vials);
    if (vials.length < 2) continue;
    replicates += vials.length - 1;
    const scale = unitScale(unit, view);
    for (const vial of vials) {
      if (view === 'final') {
        squares += (ciede2000(vial.final, unit.final) / scale) ** 2;
        residuals.push(weighted(vial.final, unit.final).map((value) => value / scale));
      } else {
        squares += (stretchedDistance(vial.history!, unit.history!).value / scale) ** 2;
        residuals.push(
          vial.history!.flatMap((colour, index) =>
            weighted(colour, unit.history![index]!).map((value) => value / scale),
          ),
        );
      }
    }
  }
  // A history averages over many frames: what is left of the reading error is the part that stays, at most all of it.
  const floor = seen.length === 0 ? 0 : seen.reduce((sum, vial) => sum + vial.readingError ** 2, 0) / seen.length;
  const dayVariance = dayError ** 2;
  const restVariance = unevenRest ** 2 * (1 - spreadOfReplicates(units));
  const df = Math.max(0, replicates - spentDf);
  if (df < fewestDf) {
    const scale = meanSquare(units.map((unit) => unitScale(unit, view)));
    return { variance: assumedLikeVials ** 2 / 2 / scale, floor, directions: 1, df: 0, restVariance, dayVariance };
  }
  return { variance: squares / df, floor, directions: directionsOf(residuals, df), df, restVariance, dayVariance };
}

/** Below this there are no replicates to speak of once the light is known. */
const fewestDf = 0.5;

/** Mean squared distance of one vial of this liquid from its true colour, squared CIEDE2000. */
export function vialVariance(unit: Unit, view: View, noise: Noise): number {
  return Math.max(noise.floor, noise.variance * unitScale(unit, view) ** 2);
}

/** What the unit's colour, or its colours on the way, make of relative errors. */
function unitScale(unit: Unit, view: View): number {
  return view === 'final' || unit.history === null
    ? scatterScale(unit.final)
    : Math.sqrt(meanSquare(unit.history.map(scatterScale)));
}

const meanSquare = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value ** 2, 0) / Math.max(1, values.length);

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
 * over the rack show the unevenness of the light in their own scatter, so that nothing need be added for it. Without known places 1.
 */
function spreadOfReplicates(units: readonly Unit[]): number {
  const within = units.flatMap(({ vials }) => squaredDistances(vials));
  const among = squaredDistances(units.flatMap(({ vials }) => vials));
  if (among.length === 0) return 1;
  return within.length === 0 || !(mean(among) > 0) ? 0 : Math.min(1, mean(within) / mean(among));
}

function squaredDistances(vials: readonly VialColour[]): readonly number[] {
  return vials.flatMap(({ place: first, picture }, index) =>
    vials
      .slice(index + 1)
      .flatMap(({ place: second, picture: other }) =>
        first === null || second === null || picture !== other
          ? []
          : [(first[0] - second[0]) ** 2 + (first[1] - second[1]) ** 2],
      ),
  );
}
