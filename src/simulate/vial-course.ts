import { createRandom } from '../numeric/random.ts';
import { liquidOptics, reagentChromiumMolL } from './chemistry.ts';
import { dyeMixture } from './dye.ts';
import { extentAt } from './extent-course.ts';
import type { Scenario, ScenarioVial } from './scenario.ts';

/** One vial as it really is: its drawn deviations and its course over the run. */
export interface VialCourse {
  readonly region: string;
  readonly vial: ScenarioVial;
  /** Multiplier of the light behind this vial. */
  readonly brightness: number;
  /** Multiplier of the path through the liquid. */
  readonly path: number;
  /** Multiplier of its rates. */
  readonly rate: number;
  /** Height of the liquid just after dosing, cm. */
  readonly liquidCm: number;
  /** True extent at a run time. */
  extentAt(runS: number): number;
  /** Loss of level since dosing, cm; `null` before dosing: no liquid yet. */
  levelLossCm(runS: number): number | null;
  /** Absorbance per cm on the wavelength grid at a run time, for the reagent at `strength` (1: the bulk). */
  absorbance(runS: number, strength?: number): Float64Array;
}

/** All vials of a scenario, in order; deterministic by its seed. */
export function vialCourses(scenario: Scenario): readonly VialCourse[] {
  const random = createRandom(scenario.seed).stream('vials');
  const { chemistry, rack, spread } = scenario;
  const optics = liquidOptics(chemistry);
  const reagent = reagentChromiumMolL(chemistry.reagent);
  return scenario.vials.map((vial, index) => {
    const rate = Math.exp(spread.rate * random.normal());
    const sampleMl = vial.sampleMl ?? chemistry.sampleMl;
    const volumeMl = chemistry.reagentMl + sampleMl;
    const chromiumMolL = (reagent * chemistry.reagentMl) / volumeMl;
    const liquidCm = volumeMl / (Math.PI * (rack.innerDiameterCm / 2) ** 2);
    const extent = (runS: number): number => extentAt(vial.kinetics, runS - vial.addedRunS, rate);
    const levelLossCm = (runS: number): number | null =>
      runS < vial.addedRunS ? null : Math.min(0.8 * liquidCm, (vial.evaporationCmH * (runS - vial.addedRunS)) / 3600);
    const { kinetics } = vial;
    const dye = kinetics.model === 'colours' ? dyeMixture(kinetics, rack.innerDiameterCm) : null;
    return {
      region: regionName(index, rack.columns),
      vial,
      brightness: 1 + spread.brightness * random.normal(),
      path: 1 + spread.path * random.normal(),
      rate,
      liquidCm,
      extentAt: extent,
      levelLossCm,
      absorbance: (runS, strength = 1) => {
        const ageS = Math.max(0, runS - vial.addedRunS);
        const growth = liquidCm / (liquidCm - (levelLossCm(runS) ?? 0));
        if (dye !== null) return dye(extent(runS), strength * growth);
        return optics({
          extent: extent(runS),
          chromiumMolL: chromiumMolL * strength * growth,
          ageS,
          turbidity: turbidityAt(vial, ageS),
        });
      },
    };
  });
}

function turbidityAt({ precipitate }: ScenarioVial, ageS: number): number {
  if (precipitate === null || ageS <= precipitate.fromS) return 0;
  // Settles in over half an hour: chosen.
  return precipitate.absorbancePerCm * -Math.expm1(-(ageS - precipitate.fromS) / 1800);
}

/** A1, A2, ... row by row. Rows beyond Z are not foreseen: the schema allows 26. */
export function regionName(index: number, columns: number): string {
  return `${String.fromCharCode(65 + Math.floor(index / columns))}${(index % columns) + 1}`;
}
