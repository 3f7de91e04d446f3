import { chartColumns, chartRows, chartTable } from './chart-patches.ts';
import { layoutOf, liquidRect, type ChartBox } from './layout.ts';
import type { Scenario, ScenarioVial } from './scenario.ts';
import { regionName } from './vial-course.ts';

/** The plain objects of a `rig.json` and a `run.yaml` for a simulated run: what a careful user would write. */
export interface ExampleRun {
  readonly rig: Readonly<Record<string, unknown>>;
  readonly run: Readonly<Record<string, unknown>>;
  /** Text of the chart's table, `chart.csv`; `null` without a chart in the scene. */
  readonly chartTable: string | null;
}

/** `source` and `rig` are the paths to write into run.yaml, relative to it. */
export function exampleRun(scenario: Scenario, files: { readonly source: string; readonly rig: string }): ExampleRun {
  const layout = layoutOf(scenario);
  const { chemistry, reading, frame } = scenario;
  const { reagent } = chemistry;
  const isDye = scenario.vials.some(({ kinetics }) => kinetics.model === 'colours');
  return {
    rig: {
      schema: 'vialapse/rig@1',
      name: `${scenario.name} rig`,
      frame,
      regions: layout.vials.map((box) => ({ id: box.region, shape: 'rect', ...liquidRect(box) })),
      ...(layout.patches.length === 0
        ? {}
        : {
            white: layout.patches.map(({ id, x, y, width, height }) => ({
              id,
              shape: 'rect',
              x: Math.ceil(x + 0.15 * width),
              y: Math.ceil(y + 0.15 * height),
              width: Math.floor(0.7 * width),
              height: Math.floor(0.7 * height),
            })),
          }),
      ...(layout.chart === null ? {} : { chart: chartEntry(layout.chart) }),
    },
    chartTable: layout.chart === null ? null : chartTable(),
    run: {
      schema: 'vialapse/run@1',
      name: scenario.name,
      rig: files.rig,
      source: files.source,
      timing: scenario.media.kind === 'jpeg' ? { clock: 'exif' } : { interval_s: scenario.intervalS },
      reaction: isDye ? 'aldehyde-acid' : 'acid-dichromate',
      ...known({ read_at_s: reading.readAtS }),
      alpha: reading.alpha,
      margin: reading.margin,
      record: { notes: 'A modelled run, not photographed: see truth.json.' },
      // Invented dyes have no recipe.
      ...(isDye
        ? {}
        : {
            dose: {
              reagent: {
                salt: reagent.salt,
                salt_g: reagent.saltG,
                water_ml: reagent.waterMl,
                acid_ml: reagent.acidMl,
                acid_percent: reagent.acidPercent,
              },
              reagent_ml: chemistry.reagentMl,
              sample_ml: chemistry.sampleMl,
            },
          }),
      vials: scenario.vials.map((vial, index) => vialEntry(vial, regionName(index, scenario.rack.columns), scenario)),
    },
  };
}

function vialEntry(vial: ScenarioVial, region: string, { chemistry }: Scenario): Record<string, unknown> {
  return {
    region,
    label: vial.label,
    role: vial.role,
    added_run_s: vial.addedRunS,
    ...(vial.role === 'mixture' && vial.kinetics.model === 'constant' ? { extent: vial.kinetics.extent } : {}),
    ...known({
      expect: vial.expect,
      group: vial.group,
      level_mol_percent: vial.levelMolPercent,
      identity: vial.identity,
      sample_ml: vial.sampleMl,
      density_g_ml: vial.densityGMl ?? chemistry.densityGMl,
      molar_mass_g_mol: vial.molarMassGMol ?? chemistry.molarMassGMol,
    }),
  };
}

const known = (entries: Readonly<Record<string, unknown>>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(entries).filter(([, value]) => value !== null));

function chartEntry({ x, y, width, height }: ChartBox): Record<string, unknown> {
  const corner = (right: number, down: number): number[] =>
    [x + right * width, y + down * height].map((value) => Math.round(10 * value) / 10);
  return {
    rows: chartRows,
    columns: chartColumns,
    corners: [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)],
    values: 'chart.csv',
  };
}
