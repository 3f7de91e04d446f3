import type { Lab } from '../colour/index.ts';
import { cholesky, solveCholesky } from '../numeric/cholesky.ts';
import type { Square3, Vector3, VialColour } from './types.ts';

/**
 * Light over one picture as far as the replicates show it: tilts along x and y and a fall-off towards the corners, in log brightness.
 * The rest of the file works on these three terms.
 */
export interface PlaceLight {
  /** Log brightness of each vial's place against the middle of all, in the order given: to be taken out. */
  readonly logBrightness: readonly number[];
  /** Terms of each vial's place, less their means. */
  readonly terms: readonly Vector3[];
  /** Covariance of the three coefficients, given the replicates and what is usual. */
  readonly covariance: Square3;
  /** Degrees of freedom of the replicates that were spent on it, 0..3. */
  readonly spentDf: number;
}

/**
 * What is usual, as standard deviations in log brightness, half a diagonal of the frame being 1: a lamp at one side makes some 10 % across a frame,
 * lenses lose 10 to 30 % in the corners. Chosen, a little wider than for the extent path, which learns more of the light.
 */
const usualSd: Vector3 = [0.08, 0.08, 0.18];
/** Scatter of log brightness of like vials in one place, and how many degrees of freedom that guess is worth. Chosen: glass of shell vials, drops counted by hand. */
const guessedSd = 0.015;
const guessedDf = 2;
const rounds = 4;

/**
 * Unevenness that is no tilt and no fall-off (shadows, the card behind), standard deviation in log brightness. Chosen: modelled cards have 0.7 %; without
 * it false differences came to 7 % on racks with replicates side by side. Replicates spread over the rack show it themselves.
 */
export const unevenRest = 0.01;

/**
 * Learns the light from differences between replicates that stand in different places (a Bayesian linear model with the usual light as prior): replicates
 * side by side teach little and leave it uncertain, which the covariance tells. Vials without a known place count as in the middle.
 */
export function placeLight(vials: readonly VialColour[]): PlaceLight {
  const raw = vials.map(({ place }): Vector3 => {
    const [x, y] = place ?? [0, 0];
    return [x, y, x * x + y * y];
  });
  const means = [0, 1, 2].map((term) => raw.reduce((sum, one) => sum + one[term]!, 0) / Math.max(1, raw.length));
  const terms = raw.map((one) => one.map((value, term) => value - means[term]!) as unknown as Vector3);
  const seen = withinUnits(vials, terms);
  const df = seen.length - new Set(seen.map(({ unit }) => unit)).size;
  let scatter = guessedSd ** 2;
  let fitted = solveFor(seen, scatter);
  for (let round = 0; round < rounds && df > 0; round += 1) {
    const squares = seen.reduce((sum, { log, at, weight }) => sum + weight * (log - dot(fitted.value, at)) ** 2, 0);
    scatter = (squares + guessedDf * guessedSd ** 2) / (df - fitted.spent + guessedDf);
    fitted = solveFor(seen, scatter);
  }
  return {
    logBrightness: terms.map((at) => dot(fitted.value, at)),
    terms,
    covariance: fitted.covariance,
    spentDf: fitted.spent,
  };
}

/** A colour as it would be with the light divided by `exp(logBrightness)`; exact for all but the darkest colours (CIELAB's cube roots). */
export function inEvenLight([l, a, b]: Lab, logBrightness: number): Lab {
  const factor = Math.exp(-logBrightness / 3);
  return [(l + 16) * factor - 16, a * factor, b * factor];
}

/** Log luminance of a colour, up to a constant. */
const logLuminance = ([l]: Lab): number => 3 * Math.log(Math.max(l, 1) + 16);
/** The same against white. */
const belowWhite = (lab: Lab): number => logLuminance(lab) - logLuminance([100, 0, 0]);

interface Seen {
  readonly unit: string;
  /** Less the unit's mean. */
  readonly log: number;
  readonly at: Vector3;
  readonly weight: number;
}

/** Replicates against their own mean. Dark liquids tell less of the light: a little more of them in the vial is as much darker again. */
function withinUnits(vials: readonly VialColour[], terms: readonly Vector3[]): readonly Seen[] {
  const units = new Map<string, number[]>();
  vials.forEach(({ role, unit }, index) => {
    const key = `${role}/${unit}`;
    units.set(key, [...(units.get(key) ?? []), index]);
  });
  return [...units].flatMap(([unit, members]) => {
    if (members.length < 2) return [];
    const mean = (valueOf: (index: number) => number): number =>
      members.reduce((sum, index) => sum + valueOf(index), 0) / members.length;
    const level = mean((index) => logLuminance(vials[index]!.final));
    const middle = [0, 1, 2].map((term) => mean((index) => terms[index]![term]!));
    const weight = 1 / (1 + mean((index) => belowWhite(vials[index]!.final)) ** 2);
    return members.map((index) => ({
      unit,
      log: logLuminance(vials[index]!.final) - level,
      at: terms[index]!.map((value, term) => value - middle[term]!) as unknown as Vector3,
      weight,
    }));
  });
}

function solveFor(
  seen: readonly Seen[],
  scatter: number,
): { readonly value: Vector3; readonly covariance: Square3; readonly spent: number } {
  const axes = [0, 1, 2] as const;
  const data = axes.map((i) =>
    axes.map((j) => seen.reduce((sum, { at, weight }) => sum + (weight * at[i] * at[j]) / scatter, 0)),
  );
  const precision = data.map((row, i) => row.map((value, j) => value + (i === j ? 1 / usualSd[i]! ** 2 : 0)));
  const right = axes.map((i) => seen.reduce((sum, { at, log, weight }) => sum + (weight * at[i] * log) / scatter, 0));
  // The prior alone makes it positive definite.
  const factor = cholesky(precision.flat(), 3)!;
  const solve = (of: readonly number[]): Vector3 => Array.from(solveCholesky(factor, of)) as unknown as Vector3;
  const covariance = axes.map((i) => solve(axes.map((j) => (i === j ? 1 : 0)))) as unknown as Square3;
  let spent = 0;
  for (const i of axes) for (const j of axes) spent += covariance[i][j] * data[j]![i]!;
  return { value: solve(right), covariance, spent };
}

const dot = (first: Vector3, second: Vector3): number =>
  first[0] * second[0] + first[1] * second[1] + first[2] * second[2];
