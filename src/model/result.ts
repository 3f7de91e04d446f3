import type { ModelName } from './fit.ts';
import type { Expectation, Role } from './run.ts';

/**
 * `result.json`, key for key (hence snake case): the contract with other programs. Numbers are unrounded.
 * `null` = not estimable; the reason stands beside it or in the vial's flags.
 */
export interface ResultEstimate {
  readonly value: number;
  readonly se: number | null;
  readonly ci95: readonly [number | null, number | null];
}
export interface ResultTime extends ResultEstimate {
  readonly censored: 'none' | 'left' | 'right';
}
export interface ResultRate extends ResultEstimate {
  readonly unit: string;
}
/**
 * A ratio whose interval may be unbounded: then `bounded` is false and `ci95` has a null side or both. `value` 0 without `se`
 * is an upper limit only: less than `ci95[1]`.
 */
export interface ResultRatio extends ResultEstimate {
  readonly bounded: boolean;
}

export interface ResultFlag {
  readonly code: string;
  readonly message: string;
  readonly from_run_s: number | null;
  readonly to_run_s: number | null;
}

/** A vial's rates carried over to one temperature by Arrhenius; the activation energy's uncertainty (kJ/mol) is in their errors. */
export interface ResultAtTemperature {
  readonly reference_c: number;
  /** Steady temperature that would have brought the vial as far while it reacted. */
  readonly measured_c: number;
  readonly activation_energy_kj_mol: { readonly value: number; readonly u: number };
  readonly rate_constant: ResultRate | null;
  readonly initial_rate: ResultEstimate | null;
}

export interface ResultVial {
  readonly region: string;
  readonly label: string;
  readonly role: Role;
  readonly group: string | null;
  readonly added_run_s: number | null;
  readonly hue: {
    readonly first_deg: number | null;
    readonly last_deg: number | null;
    readonly span_deg: number | null;
  };
  readonly extent: { readonly at_read: ResultEstimate | null; readonly last: ResultEstimate | null };
  readonly onset_s: ResultTime | null;
  readonly fit: {
    readonly model: ModelName | null;
    readonly reason: string | null;
    readonly rate_constant: ResultRate | null;
    readonly amplitude: ResultEstimate | null;
    readonly induction_s: ResultEstimate | null;
    readonly background_rate: ResultEstimate | null;
    readonly initial_rate: ResultEstimate | null;
    /** `null` without a probe or a rate. Absent in results of earlier versions. */
    readonly at_reference_temperature?: ResultAtTemperature | null | undefined;
    readonly half_time_s: ResultTime | null;
    readonly residual_sd: number | null;
    readonly aicc: number | null;
    readonly candidates: readonly {
      readonly model: ModelName;
      readonly aicc: number | null;
      readonly weight: number | null;
    }[];
  };
  readonly flags: readonly ResultFlag[];
}

/** What a ratio of rates rests on: constants compare at equal molar amounts of sample only. */
export type RateBasis = 'rate constant' | 'initial rate' | 'initial rate per mole';

export type Outcome = 'reacted' | 'resisted' | 'undecided';

export interface ResultLevel {
  readonly value: number | null;
  readonly ci95: readonly [number | null, number | null];
  /** Smallest level this run would have seen. */
  readonly limit: number | null;
  /** What the number is: `mol % as standard`, `micro-equivalents per mol of sample`, … */
  readonly as: string;
  readonly electrons: readonly number[] | null;
  readonly basis: 'standards' | 'electrons';
  readonly only_more_than: boolean;
}

export interface ResultSample {
  readonly group: string | null;
  readonly label: string;
  readonly regions: readonly string[];
  readonly expect: Expectation | null;
  readonly outcome: Outcome;
  readonly as_expected: boolean | null;
  readonly reason: string;
  readonly extent_difference: ResultEstimate | null;
  readonly bound: { readonly side: 'lower' | 'upper'; readonly value: number; readonly alpha: number } | null;
  readonly within_margin: boolean | null;
  readonly against: readonly {
    readonly reference: string;
    readonly rate_ratio: ResultRatio | null;
    /** What was compared; `null` without a ratio. Absent in results of earlier versions. */
    readonly rate_basis?: RateBasis | null | undefined;
    readonly half_time_ratio: ResultRatio | null;
    /** Why a ratio is `null`, unbounded or only a limit, and under what condition it holds. Absent in results of earlier versions. */
    readonly reason?: string | null | undefined;
  }[];
  readonly level: ResultLevel | null;
}

export interface ResultCheck {
  readonly code: string;
  readonly status: 'pass' | 'warn' | 'fail';
  readonly message: string;
}

/** A CIEDE2000 distance with its two p values: of no difference, and of at least the margin apart. */
export interface ResultColourDistance {
  readonly value: number;
  readonly p_differs: number;
  readonly p_agrees: number;
  /** Below this the two count as agreeing: twice the distance of like vials of these colours. */
  readonly margin: number;
}

/** Two liquids compared by colour; `first` and `second` name units. */
export interface ResultColourPair {
  readonly first: string;
  readonly second: string;
  readonly verdict: 'agrees' | 'differs' | 'cannot tell';
  readonly reason: string;
  readonly final: ResultColourDistance;
  /** Histories, time stretched to fit best; `null` for a single picture. */
  readonly history: ResultColourDistance | null;
  readonly history_unstretched: number | null;
  readonly stretch: number | null;
  readonly clipped: readonly string[];
}

/** What `match` found. Colours agree or differ; nothing here names a substance. */
export interface ResultMatch {
  readonly claim: string;
  readonly alpha: number;
  /** The run file that the knowns come from where it is another one. */
  readonly knowns_from: string | null;
  readonly views: readonly {
    readonly view: 'final' | 'history';
    /** Root-mean-square CIEDE2000 between two like vials, over all liquids. */
    readonly like_vials: number;
    /** Twice that, with the error between two runs; every pair has its own (`final.margin`). */
    readonly margin: number;
    readonly df: number;
    readonly directions: number;
    readonly day_error: number;
    readonly source: string;
  }[];
  readonly units: readonly {
    readonly name: string;
    readonly role: 'known' | 'sample' | 'blank';
    readonly regions: readonly string[];
    readonly lab: readonly [number, number, number];
    readonly history: readonly (readonly [number, number, number])[] | null;
  }[];
  readonly samples: readonly {
    readonly name: string;
    readonly answer: 'agrees with one' | 'agrees with several' | 'like none' | 'cannot tell';
    readonly agrees_with: readonly string[];
    readonly not_ruled_out: readonly string[];
    readonly reason: string;
    readonly against: readonly ResultColourPair[];
  }[];
  readonly panel: readonly ResultColourPair[];
}

export interface Result {
  readonly schema: 'vialapse/result@1';
  readonly made: {
    readonly version: string;
    readonly at: string;
    readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
    readonly decoder: string;
  };
  readonly run: {
    readonly name: string;
    readonly reaction: string;
    readonly duration_s: number;
    readonly read_at_s: number;
    readonly read_at_declared: boolean;
    readonly alpha: number;
    /** In extent. */
    readonly margin: number;
    readonly glance: boolean;
    readonly assumptions: readonly string[];
    readonly record: Readonly<Record<string, string>>;
    readonly frames: {
      readonly read: number;
      readonly used: number;
      readonly rejected: readonly { readonly index: number; readonly reason: string }[];
    };
    readonly path: {
      readonly pins: readonly string[];
      readonly source: 'fitted' | 'saved';
      readonly residual: number | null;
      readonly extent_error: number | null;
    };
    readonly between_vial_sd: { readonly value: number; readonly df: number; readonly source: string } | null;
  };
  readonly vials: readonly ResultVial[];
  readonly samples: readonly ResultSample[];
  readonly references: readonly {
    readonly region: string;
    readonly role: Role;
    readonly as_expected: boolean | null;
    readonly reason: string;
  }[];
  readonly reading_window: { readonly from_s: number; readonly to_s: number; readonly exploratory: true } | null;
  readonly checks: readonly ResultCheck[];
  /** Only from `match`. */
  readonly match?: ResultMatch | undefined;
}
