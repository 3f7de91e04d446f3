import type { Expectation } from '../model/run.ts';
import type { SubstanceClass } from './substances.ts';

/** What a vial of the plan is; mixtures and match references have their own runs. */
export type PlanRole = 'blank' | 'positive' | 'negative' | 'standard' | 'sample';

/** One liquid on the bench and the vials it fills. */
export interface Material {
  readonly name: string;
  readonly role: PlanRole;
  /** Number of vials; 1 where left out. */
  readonly vials?: number | undefined;
  /** What it is claimed to be: a name of the table in substances.ts, or any words with the numbers beside it. */
  readonly substance?: string | undefined;
  readonly kind?: SubstanceClass | undefined;
  readonly densityGMl?: number | undefined;
  readonly molarMassGMol?: number | undefined;
  /** Solubility in water, % w/w; 100: miscible. */
  readonly solublePercent?: number | undefined;
  readonly boilsC?: number | undefined;
  /** Mean mass of one drop, mg: ten drops weighed, by ten. */
  readonly dropMg?: number | undefined;
  readonly drops?: number | undefined;
  readonly sampleMl?: number | undefined;
  readonly sampleG?: number | undefined;
  /** Half-time met in an earlier run at this recipe and temperature, minutes. */
  readonly halfTimeMin?: number | undefined;
  readonly expect?: Expectation | undefined;
  readonly levelMolPercent?: number | undefined;
}

export interface Recipe {
  readonly salt: string;
  readonly saltG: number;
  readonly waterMl: number;
  readonly acidMl: number;
  readonly acidPercent: number;
}

/** A bench file, keys renamed; amounts in the units of their names. */
export interface Bench {
  readonly name: string;
  readonly reagent: Recipe;
  readonly reagentMl: number;
  readonly materials: readonly Material[];
  readonly rack: { readonly rows: number; readonly columns: number };
  readonly temperatureC: number;
  readonly hours: number;
  /** Hours after dosing at which samples are compared; left out: the longest whole quarter hour that all vials reach. */
  readonly readAtH?: number | undefined;
  readonly level: { readonly molPercent: number; readonly impurity: string; readonly electrons?: number | undefined };
  readonly alpha?: number | undefined;
  readonly margin?: number | undefined;
  readonly seed?: string | number | undefined;
  /** Labels and groups in run.yaml are codes. */
  readonly blind?: boolean | undefined;
  /** Vials are closed tight. */
  readonly sealed?: boolean | undefined;
  /** Seconds between two doses; 15 where left out (chosen: an unhurried hand). */
  readonly dosingGapS?: number | undefined;
  /** Spread of still vials known from earlier runs of this rig, in extent. */
  readonly noise?: { readonly betweenVialSd: number; readonly df: number; readonly source: string } | undefined;
  readonly camera?:
    | {
        readonly kind?: 'stills' | 'film' | undefined;
        readonly width?: number | undefined;
        readonly height?: number | undefined;
      }
    | undefined;
}
