import type { PlacedVial } from './place-vials.ts';
import type { Practice } from './practice.ts';
import type { DosedMaterial } from './vial-dose.ts';

export interface PlanWarning {
  readonly code: string;
  readonly message: string;
  /** Materials it is about; empty: the whole plan. */
  readonly about: readonly string[];
  /** The message without their names. */
  readonly said: string;
}

export interface PlannedVial extends PlacedVial {
  readonly region: string;
  readonly code: string;
  readonly name: string;
  /** What the bench sheet calls it: a hidden sample by its bottle's code. */
  readonly shown: string;
  readonly group: string | null;
  readonly addedRunS: number;
  readonly pipetting: string;
}

/** `plan.json`: what the run should show, for the comparison afterwards. Extents, seconds, mol %; `null` not estimable. */
export interface Predictions {
  readonly schema: 'vialapse/plan@1';
  readonly name: string;
  readonly seed: string;
  readonly read_at_s: number;
  readonly margin: number;
  readonly alpha: number;
  readonly between_vial_sd: { readonly value: number; readonly df: number; readonly source: string } | null;
  readonly path_error: number | null;
  /** Smallest difference in extent that nine runs in ten call `reacted`, and the level it stands for by the reading time. */
  readonly detectable: {
    readonly extent: number;
    readonly mol_percent: number | null;
    readonly impurity: string;
  } | null;
  readonly chance_of_resisted: number | null;
  readonly vials: readonly {
    readonly region: string;
    readonly code: string;
    readonly name: string;
    readonly role: string;
    readonly half_time_s: { readonly low: number; readonly value: number; readonly high: number } | null;
  }[];
}

export interface Plan {
  readonly name: string;
  readonly seed: string;
  readonly rack: { readonly rows: number; readonly columns: number };
  readonly vials: readonly PlannedVial[];
  readonly materials: readonly DosedMaterial[];
  readonly readAtS: number;
  readonly durationS: number;
  readonly intervalS: number;
  readonly storage: string;
  readonly margin: number;
  readonly alpha: number;
  /** What the reagent is made of, and how much of it a vial gets, mL. */
  readonly recipe: string;
  readonly reagentMl: number;
  /** Sentences with the numbers in them. */
  readonly working: readonly string[];
  readonly outlook: readonly string[];
  readonly warnings: readonly PlanWarning[];
  /** The warnings that may stand on the sheet: in a blind plan none that tells what a sample is. */
  readonly sheetWarnings: readonly string[];
  readonly predictions: Predictions;
  readonly practice: Practice;
}
