import { createScenario, layoutOf, liquidRect } from '../simulate/index.ts';
import type { Bench } from './bench.ts';
import { groupCode, isHidden } from './labels.ts';
import type { Plan } from './plan.ts';

type Plain = Readonly<Record<string, unknown>>;

/** run.yaml declared beforehand, as plain keys in their order. `plan` and `rig` lie beside it. */
export function runOfPlan(bench: Bench, plan: Plan): Plain {
  const blind = bench.blind === true;
  const { salt, saltG, waterMl, acidMl, acidPercent } = bench.reagent;
  const stills = (bench.camera?.kind ?? 'stills') === 'stills';
  return {
    schema: 'vialapse/run@1',
    name: bench.name,
    rig: 'rig.json',
    source: stills ? 'stills' : 'film.mkv',
    timing: stills ? { clock: 'exif' } : { interval_s: plan.intervalS },
    reaction: 'acid-dichromate',
    read_at_s: plan.readAtS,
    alpha: plan.alpha,
    margin: plan.margin,
    plan: 'bench.yaml',
    dose: {
      reagent: { salt, salt_g: saltG, water_ml: waterMl, acid_ml: acidMl, acid_percent: acidPercent },
      reagent_ml: bench.reagentMl,
    },
    vials: plan.vials.map((vial) => {
      const dosed = plan.materials[vial.material]!;
      const { material } = dosed;
      const hidden = isHidden(bench, vial);
      const given: Record<string, unknown> = {
        region: vial.region,
        label: hidden ? vial.code : `${vial.name} (${vial.code})`,
        role: material.role,
        added_run_s: vial.addedRunS,
        expect: material.role === 'sample' && !hidden ? material.expect : undefined,
        group: vial.group === null ? undefined : blind ? groupCode(plan.vials, vial.group) : vial.group,
        level_mol_percent: material.role === 'standard' ? material.levelMolPercent : undefined,
        sample_g:
          dosed.sampleG === null || material.role === 'blank' ? undefined : Number(dosed.sampleG.toPrecision(6)),
        density_g_ml: hidden || material.role === 'blank' ? undefined : (dosed.densityGMl ?? undefined),
        molar_mass_g_mol:
          hidden || dosed.molarMassGMol === null || material.role === 'blank'
            ? undefined
            : Number(dosed.molarMassGMol.toFixed(3)),
      };
      return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
    }),
  };
}

/** A rig to be corrected on the real frame: a region for every place of the rack, a white and a grey patch. */
export function rigOfPlan(bench: Bench): Plain {
  const { rows, columns } = bench.rack;
  const scenario = createScenario({
    name: bench.name,
    frame: { width: bench.camera?.width ?? 1920, height: bench.camera?.height ?? 1080 },
    rack: { rows, columns },
    vials: Array.from({ length: rows * columns }, () => ({ label: '-', role: 'blank', kinetics: { model: 'none' } })),
  });
  const layout = layoutOf(scenario);
  return {
    schema: 'vialapse/rig@1',
    name: `${bench.name} template`.slice(0, 100),
    frame: scenario.frame,
    regions: layout.vials.map((box) => ({ id: box.region, shape: 'rect', ...liquidRect(box) })),
    white: layout.patches.map(({ id, x, y, width, height }) => ({
      id,
      shape: 'rect',
      x: Math.ceil(x + 0.15 * width),
      y: Math.ceil(y + 0.15 * height),
      width: Math.floor(0.7 * width),
      height: Math.floor(0.7 * height),
    })),
  };
}
