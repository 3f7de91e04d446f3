import type { ResultCheck } from '../model/result.ts';
import type { SampleGroup } from './groups.ts';
import type { MarginExtent } from './margin.ts';
import type { ReadingTime } from './reading-time.ts';
import type { PooledSpread } from './spread.ts';
import type { JudgedVial, JudgeInput, Spread } from './types.ts';

/** What is known of a run before its samples are judged; every check and every outcome reads from it. */
export interface Situation {
  readonly input: JudgeInput;
  readonly readingTime: ReadingTime;
  readonly margin: MarginExtent;
  readonly vials: readonly JudgedVial[];
  readonly samples: readonly SampleGroup[];
  /** References that can be read at the reading time and are one solution of the reaction's colours. */
  readonly negatives: readonly JudgedVial[];
  readonly blanks: readonly JudgedVial[];
  readonly pooled: PooledSpread;
  /** The spread used for D: the pooled one, or an assumed bound with infinite degrees of freedom. */
  readonly usedSpread: Spread;
  /** True when `usedSpread` is only an assumed bound. */
  readonly spreadAssumed: boolean;
  /** Fewer than two negatives and no history: then nothing can be said to have resisted. */
  readonly singleNegative: boolean;
  /** Extra standard error of D for light that no patch vouches for. */
  readonly lightSe: number;
  readonly typicalGapS: number;
}

/** A trust check: pure, small, one file each. */
export type Check = (situation: Situation) => readonly ResultCheck[];
