import type { KineticsInput, ScenarioInput, VialInput } from '../simulate/index.ts';
import type { Bench } from './bench.ts';
import { slowRate, type Pace } from './rates.ts';
import type { DosedMaterial } from './vial-dose.ts';
import type { PlannedVial } from './plan.ts';
import type { Schedule } from './schedule.ts';

/** Salts the forward model draws; another one of equal chromium looks alike. */
const drawnSalt = 'K2Cr2O7';

export interface PlannedChemistry {
  readonly materials: readonly DosedMaterial[];
  readonly paces: readonly (Pace | null)[];
  /** Cr(VI) of the reagent, mol/L. */
  readonly chromiumMolL: number;
}

/**
 * The planned run for the forward model, every sample as clean as the negatives, which is where spread and error are read.
 * `kineticsOf` may replace a vial's course.
 */
export function scenarioOfPlan(
  bench: Bench,
  vials: readonly PlannedVial[],
  chemistry: PlannedChemistry,
  schedule: Schedule,
  kineticsOf: (vial: PlannedVial) => KineticsInput | null = () => null,
): ScenarioInput {
  const totalMl = bench.reagent.waterMl + bench.reagent.acidMl;
  return {
    name: bench.name,
    ...(bench.seed === undefined ? {} : { seed: bench.seed }),
    frame: { width: bench.camera?.width, height: bench.camera?.height },
    intervalS: schedule.intervalS,
    frameCount: schedule.frames,
    reading: { readAtS: schedule.readAtS, margin: bench.margin, alpha: bench.alpha },
    chemistry: {
      reagent: {
        salt: drawnSalt,
        // As much potassium salt as holds the planned chromium.
        saltG: (chemistry.chromiumMolL * totalMl * 294.185) / 2000,
        waterMl: bench.reagent.waterMl,
        acidMl: bench.reagent.acidMl,
        acidPercent: bench.reagent.acidPercent,
      },
      reagentMl: bench.reagentMl,
    },
    rack: { rows: bench.rack.rows, columns: bench.rack.columns },
    vials: vials.map((vial): VialInput => {
      const dosed = chemistry.materials[vial.material]!;
      const pace = chemistry.paces[vial.material] ?? null;
      const turns = vial.role === 'positive' && pace !== null;
      return {
        label: vial.name,
        role: dosed.material.role,
        addedRunS: vial.addedRunS,
        group: vial.group,
        sampleMl: dosed.sampleMl ?? 0,
        ...(dosed.material.levelMolPercent === undefined ? {} : { levelMolPercent: dosed.material.levelMolPercent }),
        kinetics:
          kineticsOf(vial) ??
          (vial.role === 'blank'
            ? { model: 'none' }
            : turns
              ? { model: 'first-order', k: Math.LN2 / pace.halfTimeS }
              : { model: 'zero-order', rate: slowRate }),
      };
    }),
  };
}
