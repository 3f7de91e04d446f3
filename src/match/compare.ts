import { ciede2000 } from '../colour/index.ts';
import { historyDistance, stretchedDistance } from './distance.ts';
import { distanceCdf, type DifferenceNoise } from './distance-law.ts';
import type { Comparison, Distance, Noise, Unit, ViewFacts } from './types.ts';

/** Degrees of freedom of an assumed noise. Chosen: a guess is worth little. */
const assumedDf = 4;

/** Everything about two units but the verdict, which needs the other pairs. */
export type Measured = Omit<Comparison, 'verdict' | 'reason'>;

/** Distances of two units with what their noise makes of them. */
export function compare(first: Unit, second: Unit, views: readonly ViewFacts[], otherDay: boolean): Measured {
  const final = views.find(({ view }) => view === 'final')!;
  const history = views.find(({ view }) => view === 'history');
  const bothSeen = history !== undefined && first.history !== null && second.history !== null;
  const stretched = bothSeen ? stretchedDistance(first.history, second.history) : null;
  return {
    first: first.name,
    second: second.name,
    final: judged(ciede2000(first.final, second.final), first, second, final, otherDay),
    history: stretched === null ? null : judged(stretched.value, first, second, history!, otherDay),
    historyUnstretched: bothSeen ? historyDistance(first.history, second.history) : null,
    stretch: stretched?.stretch ?? null,
    clipped: clippedIn(first).filter((channel) => clippedIn(second).includes(channel)),
  };
}

function judged(value: number, first: Unit, second: Unit, facts: ViewFacts, otherDay: boolean): Distance {
  const { noise } = facts;
  const count = (unit: Unit): number =>
    unit.vials.filter((vial) => facts.view === 'final' || vial.history !== null).length;
  const known = together(
    noise.variance * (1 / count(first) + 1 / count(second)),
    noise,
    noise.placeVariance + (otherDay ? noise.dayVariance : 0),
  );
  return {
    value,
    pDiffers: Math.max(0, 1 - distanceCdf(value, 0, known)),
    // Without replicates nothing is known of the noise that could carry an agreement.
    pAgrees: noise.df === 0 ? 1 : distanceCdf(value, otherDay ? facts.margin : facts.panelMargin, known),
  };
}

const clippedIn = (unit: Unit): readonly string[] => [...new Set(unit.vials.flatMap(({ clipped }) => clipped))];

/** Degrees of freedom of the errors that are taken as known from modelled panels. Chosen: known within some 20 %. */
const sharedDf = 12;

/**
 * Scatter of vials and the shared errors as one noise. The shared ones lie along one line (mostly lightness), taken to be that of the largest scatter;
 * degrees of freedom by F. E. Satterthwaite (Biometrics Bulletin 2:110, 1946).
 */
function together(scatter: number, noise: Noise, shared: number): DifferenceNoise {
  const { directions } = noise;
  const df = (noise.df === 0 ? assumedDf : noise.df) * directions;
  const variance = scatter + shared;
  if (shared === 0 || variance === 0) return { variance, directions, df };
  return {
    variance,
    directions: variance ** 2 / (scatter ** 2 / directions + shared ** 2 + (2 * scatter * shared) / directions),
    df: variance ** 2 / (scatter ** 2 / df + shared ** 2 / sharedDf),
  };
}
