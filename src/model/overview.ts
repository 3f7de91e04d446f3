export interface ReferenceChart {
  readonly label: string;
  readonly role: 'positive' | 'standard';
  readonly reaction: string;
  /** Initial rate, extent per second, replicates of a run averaged. */
  readonly points: readonly {
    readonly run: string;
    readonly rate: number;
    readonly ewma: number | null;
    readonly outside: readonly ('individuals' | 'ewma')[];
  }[];
  /** `null` with a reason while there are too few runs. */
  readonly limits: {
    readonly centre: number;
    readonly lower: number;
    readonly upper: number;
    readonly ewma_lower: number | null;
    readonly ewma_upper: number | null;
  } | null;
  /** Change from run to run as a share of the median rate, with its 95 % interval; `null` where there are no limits either. */
  readonly trend: { readonly per_run: number; readonly ci95: readonly [number, number] } | null;
  readonly reason: string | null;
}

/** One lot in several runs. `estimate` is `null` with the reason when runs may not be joined. */
export interface LotOverRuns {
  readonly lot: string;
  readonly runs: readonly string[];
  readonly estimate: {
    readonly value: number;
    readonly ci95: readonly [number, number];
    /** Variance of the true difference from run to run. */
    readonly between_run_variance: number;
  } | null;
  readonly reason: string | null;
}

export interface OverviewRow {
  readonly name: string;
  /** Relative to the overview; `null` when the run failed. */
  readonly report: string | null;
  readonly trust: string | null;
  /** Codes of the checks that did not pass, failed ones first. Absent in overviews of earlier versions. */
  readonly not_passed?: readonly string[] | undefined;
  readonly controls: 'passed' | 'failed' | null;
  readonly outcomes: readonly {
    /** With its vials where another sample of the run has the same label. */
    readonly label: string;
    /** `reacted`, `resisted`, `undecided`; or what a sample of a match agrees with. */
    readonly outcome: string;
    readonly as_expected: boolean | null;
  }[];
  /** Against the last completed batch; empty: nothing. */
  readonly changed: readonly string[];
  readonly warnings: readonly string[];
  readonly judged_before: number;
  /** Scatter of the negative references inside this run, for the rig's history; `null` with fewer than two. */
  readonly negatives: { readonly sum_of_squares: number; readonly df: number } | null;
  readonly rig_sha256: string | null;
  readonly reaction: string | null;
  /** Why the run failed; `null` when it did not. */
  readonly failure: string | null;
}

export interface Overview {
  readonly schema: 'vialapse/overview@1';
  readonly rows: readonly OverviewRow[];
  readonly references: readonly ReferenceChart[];
  readonly lots: readonly LotOverRuns[];
}
