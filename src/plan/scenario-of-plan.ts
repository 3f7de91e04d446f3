import type { KineticsInput, ScenarioInput, VialInput } from '../simulate/index.ts';
import type { Bench } from './bench.ts';
import { slowRate, type Pace } from './rates.ts';
import type { DosedMaterial } from './vial-dose.ts';
import type { PlannedVial } from './plan.ts';
import type { Schedule } from './schedule.ts';

/**
 * The solution in the vials as a practice or rehearsal has it: not quite that of the tables (bands moved, either way by `side`), and Cr(III) taking up sulfate
 * as it ages. Chosen, as far off as in the demo.
 */
export const usualSolution = (side: 1 | -1) =>
  ({
    chromate: { shiftNm: 3 * side, widthFactor: 1.03 },
    chromium: { shiftNm: -3 * side },
    sulfato: { start: 0.8, end: 0.9, timeS: 36_000 },
  }) as const;

/** Salts a scenario may name; any other is drawn as this one with equal chromium, which looks alike. */
const namedSalts: readonly string[] = ['K2Cr2O7', 'Na2Cr2O7.2H2O', '(NH4)2Cr2O7'];
const drawnSalt = { formula: 'K2Cr2O7', gMol: 294.185 } as const;

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
  const salt = bench.reagent.salt.replace('·', '.');
  const isNamed = namedSalts.includes(salt);
  return {
    name: bench.name,
    ...(bench.seed === undefined ? {} : { seed: bench.seed }),
    frame: { width: bench.camera?.width, height: bench.camera?.height },
    intervalS: schedule.intervalS,
    frameCount: schedule.frames,
    reading: { readAtS: schedule.readAtS, margin: bench.margin, alpha: bench.alpha },
    chemistry: {
      reagent: {
        salt: isNamed ? salt : drawnSalt.formula,
        saltG: isNamed ? bench.reagent.saltG : (chemistry.chromiumMolL * totalMl * drawnSalt.gMol) / 2000,
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
        densityGMl: dosed.densityGMl,
        molarMassGMol: dosed.molarMassGMol,
        ...(dosed.material.levelMolPercent === undefined ? {} : { levelMolPercent: dosed.material.levelMolPercent }),
        kinetics:
          kineticsOf(vial) ??
          (vial.role === 'blank'
            ? { model: 'none' }
            : turns
              ? { model: 'first-order', k: Number((Math.LN2 / pace.halfTimeS).toPrecision(6)) }
              : { model: 'zero-order', rate: slowRate }),
      };
    }),
  };
}
