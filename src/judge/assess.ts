import { assumedBound } from './assumed-spread.ts';
import { sampleGroups, withRole } from './groups.ts';
import { lightError } from './light-error.ts';
import { marginExtent } from './margin.ts';
import { readVials } from './read-vials.ts';
import { readingTime } from './reading-time.ts';
import type { Situation } from './situation.ts';
import { betweenVialSpread, replicateGroups } from './spread.ts';
import type { JudgeInput } from './types.ts';
import { typicalGap } from './usable.ts';
import { findMoves } from './vial-moves.ts';
import { troubleOf } from './vial-trouble.ts';

/** Degrees of freedom from replicate samples that stand in for replicate negatives when a sample may have reacted; chosen. */
const fewestGroupDf = 3;

/** Reads all vials and gathers what every check and outcome rests on. */
export function assess(input: JudgeInput): Situation {
  const { run, series, measurement } = input;
  const time = readingTime(run, series, input.untilS);
  const margin = marginExtent(run, input.amounts, input.electronsPerReagent);
  const read = readVials(input, time.readAtS);
  const readable = read.filter(
    ({ atRead, vial }) => atRead !== null && (vial.role === 'negative' || vial.role === 'blank'),
  );
  const moves = findMoves(input, read);
  const vials = read.map((judged, i) => ({
    ...judged,
    trouble: troubleOf(measurement, time.readAtS, readable, judged),
    move: moves[i]!,
  }));
  const samples = sampleGroups(vials);
  // A reference in two layers or off the colour path measures nothing, so nothing is measured by it.
  const sound = vials.filter(({ atRead, trouble }) => atRead !== null && trouble === null);
  const negatives = withRole(sound, 'negative');
  const blanks = withRole(sound, 'blank');
  const pooled = betweenVialSpread(negatives, replicateGroups(sound, samples), margin.value, input.history);
  const singleNegative = negatives.length < 2 && !pooled.historyUsed;
  // Replicate samples show the spread of vials too, but two or three of them too little to rest on.
  const shown = pooled.spread !== null && (!singleNegative || pooled.spread.df >= fewestGroupDf) ? pooled.spread : null;
  return {
    input,
    readingTime: time,
    margin,
    vials,
    samples,
    negatives,
    blanks,
    pooled,
    usedSpread: shown ?? assumedBound(negatives, blanks),
    spreadAssumed: shown === null,
    singleNegative,
    lightSe: lightError(measurement.light, [...negatives, ...blanks]),
    typicalGapS: typicalGap(measurement.frames.timeRunS),
  };
}
