import type { Spread } from './judge/types.ts';
import type { Reaction } from './model/reaction.ts';
import type { Run } from './model/run.ts';

export interface Progress {
  readonly stage: string;
  readonly done: number;
  readonly total: number | null;
}

/** Everything a run's analysis depends on besides the files it names; clock and folders are handed in. */
export interface AnalyseRequest {
  readonly run: Run;
  readonly reaction: Reaction;
  readonly glance: boolean;
  /** Run clock after which frames are not looked at, seconds. */
  readonly untilS: number | null;
  readonly onProgress?: (progress: Progress) => void;
  readonly clock: () => Date;
  readonly version: string;
  /** Changes with any line of the program; absent or `null`: unknown, and only measurements are kept. */
  readonly codeId?: string | null;
  /** Changes with any line of what measures; absent or `null`: unknown, and a measurement is known by the version alone. */
  readonly measuringId?: string | null;
  /** Where measurements are kept; `null`: nowhere. */
  readonly cacheDir: string | null;
  /** Folder that paths in the result are relative to: the run file's. */
  readonly baseDir: string;
  /** Run, rig, reaction and the other small files read, with content hashes. */
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
  /** Content hash of the chart's table; `null` without chart. */
  readonly chartSha256: string | null;
  /** Between-vial spread from earlier runs on this rig. */
  readonly history?: Spread | null;
  /** Sentences that belong to the result's assumptions, such as that the run was judged before with other settings. */
  readonly remarks?: readonly string[];
  /** The trajectory as a Parquet file too. */
  readonly parquet?: boolean;
}
