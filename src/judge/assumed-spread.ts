import { rootMeanSquare } from '../numeric/mean.ts';
import type { JudgedVial, Spread } from './types.ts';

/**
 * Between-vial standard deviation taken for granted where a run cannot show its own (one negative reference, no history).
 * Chosen: the largest error of a single extent that the method is held to (0.05), here taken as a whole standard deviation, so
 * that only what no plausible scatter of vials explains is called reacted.
 */
const assumedSpread = 0.05;

/** The assumed bound, or more when the still vials of this run already differ by more than it allows. */
export function assumedBound(negatives: readonly JudgedVial[], blanks: readonly JudgedVial[]): Spread {
  const read = [...negatives, ...blanks].flatMap(({ atRead }) => (atRead === null ? [] : [atRead]));
  const values = read.map(({ value }) => value);
  const range = values.length < 2 ? 0 : Math.max(...values) - Math.min(...values);
  const known = rootMeanSquare(read.map((one) => one.vialSe ?? 0)) ?? 0;
  return {
    value: Math.max(assumedSpread, range / Math.SQRT2, known),
    df: Infinity,
    source: 'assumed, because one negative reference shows no spread',
  };
}
