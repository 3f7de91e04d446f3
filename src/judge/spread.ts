import { fQuantile } from '../numeric/f-distribution.ts';
import { sampleMoments } from '../numeric/sample-moments.ts';
import type { SampleGroup } from './groups.ts';
import { mean } from '../numeric/mean.ts';
import { countText, listText } from './text.ts';
import type { JudgedVial, Spread } from './types.ts';

/** A history counts from this many degrees of freedom on (the contract's rule for a rig's history). */
export const fewestHistoryDf = 6;
/** Level at which a run whose vials scatter more than the history says is believed against it. */
const disagreementLevel = 0.05;

export interface PooledSpread {
  readonly spread: Spread | null;
  /** From this run alone; `null` without replicates. */
  readonly own: Spread | null;
  readonly historyUsed: boolean;
  /** Why a given history was not used; `null` when used or not given. */
  readonly historyRefused: string | null;
}

/**
 * Between-vial standard deviation at the reading time, pooled within the negatives and within replicate groups that
 * stand still. A group counts as still by its mean alone (not more than twice the margin, or 0.1 in extent, above the
 * negatives), so that the wider scatter of reacting vials does not enter and the choice does not favour small scatter.
 */
export function betweenVialSpread(
  negatives: readonly JudgedVial[],
  replicateGroups: readonly (readonly JudgedVial[])[],
  margin: number,
  history: Spread | null,
): PooledSpread {
  const level = mean(values(negatives));
  const still = replicateGroups.filter((group) => {
    const read = values(group);
    return read.length >= 2 && Number.isFinite(level) && mean(read) - level <= Math.max(2 * margin, 0.1);
  });
  let squares = 0;
  let df = 0;
  for (const group of [negatives, ...still]) {
    const read = values(group);
    if (read.length < 2) continue;
    squares += sampleMoments(read).variance! * (read.length - 1);
    df += read.length - 1;
  }
  const parts = [
    ...(values(negatives).length >= 2 ? [countText(values(negatives).length, 'negative reference')] : []),
    ...(still.length > 0 ? [countText(still.length, 'still replicate group')] : []),
  ];
  const own: Spread | null = df === 0 ? null : { value: Math.sqrt(squares / df), df, source: listText(parts) };
  return withHistory(own, history);
}

/** Replicates that may tell of spread: sample groups, standards of one level, blanks. */
export function replicateGroups(
  vials: readonly JudgedVial[],
  samples: readonly SampleGroup[],
): readonly (readonly JudgedVial[])[] {
  const standards = new Map<number, JudgedVial[]>();
  for (const judged of vials) {
    const level = judged.vial.role === 'standard' ? judged.vial.levelMolPercent : null;
    if (level !== null) standards.set(level, [...(standards.get(level) ?? []), judged]);
  }
  return [
    ...samples.map((sample) => sample.members),
    ...standards.values(),
    vials.filter(({ vial }) => vial.role === 'blank'),
  ].filter((group) => group.length >= 2);
}

function values(vials: readonly JudgedVial[]): readonly number[] {
  return vials.flatMap(({ atRead }) => (atRead === null ? [] : [atRead.value]));
}

function withHistory(own: Spread | null, history: Spread | null): PooledSpread {
  if (history === null) return { spread: own, own, historyUsed: false, historyRefused: null };
  if (history.df < fewestHistoryDf) {
    const reason = `the history of the rig rests on ${history.df} degrees of freedom only; ${fewestHistoryDf} are needed`;
    return { spread: own, own, historyUsed: false, historyRefused: reason };
  }
  if (own === null) return { spread: history, own, historyUsed: true, historyRefused: null };
  const ratio = (own.value / history.value) ** 2;
  if (ratio > fQuantile(1 - disagreementLevel, own.df, history.df)) {
    const reason = 'the vials of this run scatter more than the history of the rig says';
    return { spread: own, own, historyUsed: false, historyRefused: reason };
  }
  const df = own.df + history.df;
  const value = Math.sqrt((own.value ** 2 * own.df + history.value ** 2 * history.df) / df);
  return {
    spread: { value, df, source: `${own.source}, with ${history.source}` },
    own,
    historyUsed: true,
    historyRefused: null,
  };
}
