import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { type AnalysedRun, analyseRun } from '../../src/pipeline.ts';
import { createScenario, type Scenario, type ScenarioInput, truthOf } from '../../src/simulate/index.ts';
import { requestOn } from './rack.ts';

type Vials = ScenarioInput['vials'];

/** The usual twelve: blank, positives, negatives; a clean, a traced, a dirty and a wrong lot, one delayed, one inert. */
export const twelve: Vials = [
  { label: 'reagent only', role: 'blank', kinetics: { model: 'none' } },
  { label: '1-butanol', role: 'positive', addedRunS: 20, kinetics: { model: 'first-order', k: 0.0011 } },
  { label: '2-butanol', role: 'positive', addedRunS: 40, kinetics: { model: 'first-order', k: 0.0016 } },
  ...[60, 80, 100].map((addedRunS) => ({
    label: 'tert-butanol',
    role: 'negative' as const,
    addedRunS,
    kinetics: { model: 'zero-order' as const, rate: 5e-7 },
  })),
  { label: 'clean lot', role: 'sample', addedRunS: 120, kinetics: { model: 'zero-order', rate: 6e-7 } },
  {
    label: 'trace lot',
    role: 'sample',
    addedRunS: 140,
    kinetics: { model: 'burst-background', k: 0.0004, amplitude: 0.2, background: 5e-7 },
  },
  {
    label: 'dirty lot',
    role: 'sample',
    addedRunS: 160,
    kinetics: { model: 'burst-background', k: 0.0004, amplitude: 0.75, background: 5e-7 },
  },
  { label: 'wrong bottle', role: 'sample', addedRunS: 180, kinetics: { model: 'first-order', k: 0.001 } },
  { label: 'ester cut', role: 'sample', addedRunS: 200, kinetics: { model: 'consecutive', k1: 0.0006, k2: 0.0008 } },
  { label: 'inert ketone', role: 'sample', addedRunS: 220, kinetics: { model: 'none' } },
];

/** A phone's camera: an S-shaped tone curve, a power of 0.8 over sRGB, a matrix of its own and narrow sensitivities. Invented. */
export const phoneCamera = {
  preset: 'narrow',
  exposure: 0.85,
  tone: 1,
  toneGamma: 0.8,
  matrix: [
    [1.35, -0.3, -0.05],
    [-0.12, 1.2, -0.08],
    [0.02, -0.25, 1.23],
  ],
} as const;

/** A small rack of the twelve, as JPEG stills. */
export function smallRun(
  input: Omit<ScenarioInput, 'name' | 'vials'> & Partial<Pick<ScenarioInput, 'vials'>>,
): Scenario {
  return createScenario({
    name: 'small',
    frameCount: 40,
    intervalS: 360,
    media: { kind: 'jpeg', quality: 92 },
    reading: { readAtS: 12_000, margin: 0.05 },
    vials: twelve,
    ...input,
    rack: { rows: 2, columns: 6, ...input.rack },
  });
}

export interface ExtentErrors {
  readonly run: AnalysedRun;
  /** Of the absolute error of extent over all vials and used frames. */
  readonly median: number;
  readonly worst: number;
}

/** Writes a scenario's run, analyses it and holds every extent against the truth. `change` may alter the files first. */
export async function extentErrors(
  scenario: Scenario,
  folder: string,
  change: (runFile: string) => void = () => undefined,
): Promise<ExtentErrors> {
  const { runFile } = await writeSimulatedRun(scenario, folder, { comment: 'a test' });
  change(runFile);
  return errorsOf(scenario, await analyseRun(await requestOn(runFile)));
}

export function errorsOf(scenario: Scenario, run: AnalysedRun): ExtentErrors {
  const { series, measurement } = run.analysis;
  const errors = truthOf(scenario).vials.flatMap(({ extent }, vial) =>
    measurement.frames.index.flatMap((frame, at) => {
      const [truth, read] = [extent[frame] ?? null, series[vial]!.extent[at] ?? null];
      return truth === null || read === null ? [] : [Math.abs(read - truth)];
    }),
  );
  errors.sort((first, second) => first - second);
  return { run, median: errors[errors.length >> 1]!, worst: errors.at(-1)! };
}
