import { ciede2000 } from '../colour/index.ts';
import { historyDistance, stretchedDistance } from './distance.ts';
import { distanceCdf, type DifferenceNoise } from './distance-law.ts';
import { marginOf } from './margin.ts';
import { vialVariance } from './noise.ts';
import { lightSensitivity } from './sensitivity.ts';
import type { Comparison, Distance, Noise, Unit, Vector3, ViewFacts } from './types.ts';

/** Degrees of freedom of an assumed noise. Chosen: a guess is worth little. */
const assumedDf = 4;

/** Everything about two units but the verdict, which needs the other pairs. */
export type Measured = Omit<Comparison, 'verdict' | 'reason'>;

/** Distances of two units with what their noise makes of them. */
export function compare(first: Unit, second: Unit, views: readonly ViewFacts[]): Measured {
  const final = views.find(({ view }) => view === 'final')!;
  const history = views.find(({ view }) => view === 'history');
  const bothSeen = history !== undefined && first.history !== null && second.history !== null;
  const stretched = bothSeen ? stretchedDistance(first.history, second.history) : null;
  return {
    first: first.name,
    second: second.name,
    final: judged(ciede2000(first.final, second.final), first, second, final),
    history: stretched === null ? null : judged(stretched.value, first, second, history!),
    historyUnstretched: bothSeen ? historyDistance(first.history, second.history) : null,
    stretch: stretched?.stretch ?? null,
    clipped: clippedIn(first).filter((channel) => clippedIn(second).includes(channel)),
  };
}

function judged(value: number, first: Unit, second: Unit, { view, noise }: ViewFacts): Distance {
  const count = (unit: Unit): number => unit.vials.filter((vial) => view === 'final' || vial.history !== null).length;
  const [one, other] = [vialVariance(first, view, noise), vialVariance(second, view, noise)];
  const dayVariance = first.light.picture === second.light.picture ? 0 : noise.dayVariance;
  const known = together(
    one / count(first) + other / count(second),
    noise,
    lightVariance(first, second, noise) + dayVariance,
  );
  const margin = marginOf(Math.sqrt(one + other + dayVariance));
  return {
    value,
    margin,
    pDiffers: Math.max(0, 1 - distanceCdf(value, 0, known)),
    // Without replicates nothing is known of the noise that could carry an agreement.
    pAgrees: noise.df === 0 ? 1 : distanceCdf(value, margin, known),
  };
}

/** What is left unknown of the light between the places of two units, squared CIEDE2000. */
function lightVariance(first: Unit, second: Unit, { restVariance }: Noise): number {
  const { light: one } = first;
  const { light: other } = second;
  const along = (terms: Vector3, { covariance }: Unit['light']): number =>
    terms.reduce((sum, a, i) => sum + terms.reduce((part, b, j) => part + a * b * covariance[i]![j]!, 0), 0);
  const placed =
    one.picture === other.picture
      ? along(one.terms.map((value, term) => value - other.terms[term]!) as unknown as Vector3, one)
      : along(one.terms, one) + along(other.terms, other);
  const logVariance = placed + 2 * restVariance;
  return (logVariance * (lightSensitivity(first.final) ** 2 + lightSensitivity(second.final) ** 2)) / 2;
}

const clippedIn = (unit: Unit): readonly string[] => [...new Set(unit.vials.flatMap(({ clipped }) => clipped))];

/**
 * Degrees of freedom by which the noise of one liquid is known from that of all, however many replicates: liquids do not scatter in exact proportion
 * to what their colours make of like errors. Chosen: variances alike within some 45 % (2 / 0.45^2). Measured on modelled panels: without it 5 to 9 % of
 * false differences on racks of seven and eight knowns.
 */
const liquidDf = 10;

/** Degrees of freedom of the errors of light and day, which are not seen as scatter of replicates. Chosen: known within some 20 %. */
const sharedDf = 12;

/**
 * Scatter of vials and the shared errors as one noise. The shared ones lie along one line (mostly lightness), taken to be that of the largest scatter;
 * degrees of freedom by F. E. Satterthwaite (Biometrics Bulletin 2:110, 1946).
 */
function together(scatter: number, noise: Noise, shared: number): DifferenceNoise {
  const { directions } = noise;
  const df = 1 / (1 / ((noise.df === 0 ? assumedDf : noise.df) * directions) + 1 / liquidDf);
  const variance = scatter + shared;
  if (shared === 0 || variance === 0) return { variance, directions, df };
  return {
    variance,
    directions: variance ** 2 / (scatter ** 2 / directions + shared ** 2 + (2 * scatter * shared) / directions),
    df: variance ** 2 / (scatter ** 2 / df + shared ** 2 / sharedDf),
  };
}
