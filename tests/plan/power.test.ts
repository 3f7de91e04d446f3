import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { linearRgbToOklab, oklabDistance } from '../../src/colour/index.ts';
import { loadReaction, reactionsFolder } from '../../src/files/index.ts';
import { judge, type AnalyseRequest } from '../../src/pipeline.ts';
import type { Run } from '../../src/model/run.ts';
import { makePlan } from '../../src/plan/make-plan.ts';
import { paceOf, slowRate } from '../../src/plan/rates.ts';
import { scenarioOfPlan } from '../../src/plan/scenario-of-plan.ts';
import { createScenario, exampleRun, simulateColours } from '../../src/simulate/index.ts';
import { smallBench } from './small-bench.ts';

const reaction = await loadReaction(path.join(reactionsFolder, 'acid-dichromate.json'));
const plan = makePlan({
  bench: smallBench,
  reaction,
  rehearsals: 4,
  colourDistance: (first, second) => oklabDistance(linearRgbToOklab(first), linearRgbToOklab(second)),
});
/** Where the analysis finds the predictions: beside the bench file that the run names. */
const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-power-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
writeFileSync(path.join(folder, 'plan.json'), JSON.stringify(plan.predictions));
const promised = plan.predictions.detectable!.extent;

/** True differences of the run's six samples, as multiples of the promise: one is looked for among clean ones. */
const multiples = (seed: number): readonly number[] => [seed % 2 === 0 ? 0.8 : 1.2, 0, 0, 0, 0, 0];

/** The whole judgement of one run of the plan, with samples that truly differ by the multiples. */
async function outcomes(seed: number): Promise<readonly { multiple: number; reacted: boolean }[]> {
  const acidMolL = 1.634;
  const paces = plan.materials.map((one) => paceOf({ kind: one.kind }, smallBench.temperatureC, acidMolL));
  const samples = plan.vials.filter(({ role }) => role === 'sample');
  const scenario = createScenario({
    ...scenarioOfPlan(
      smallBench,
      plan.vials,
      { materials: plan.materials, paces, chromiumMolL: 0.0618 },
      { ...plan, frames: 72, intervalS: plan.durationS / 71 },
      (vial) => {
        const at = samples.indexOf(vial);
        if (at < 0) return null;
        const amplitude = multiples(seed)[at]! * promised;
        return { model: 'burst-background', k: 1e-3, amplitude, background: slowRate };
      },
    ),
    seed: `power/${seed}`,
  });
  const { run: written } = exampleRun(scenario, { source: '-', rig: '-' });
  const { rig } = exampleRun(scenario, { source: '-', rig: '-' });
  const run = {
    name: 'power',
    file: '/run.yaml',
    rigFile: '/rig.json',
    rig: { ...rig, chart: null, thumbnail: null },
    source: [],
    timing: { kind: 'interval', intervalS: 60 },
    reaction: { name: 'acid-dichromate', file: '' },
    readAtS: plan.readAtS,
    alpha: 0.05,
    margin: { unit: 'extent', value: 0.05 },
    transfer: 'srgb',
    pathFile: null,
    planFile: path.join(folder, 'bench.yaml'),
    temperatureFile: null,
    events: [],
    record: {},
    dose: null,
    vials: (written['vials'] as readonly { region: string; label: string; role: string; added_run_s: number }[]).map(
      (vial) => ({
        region: vial.region,
        label: vial.label,
        role: vial.role,
        addedRunS: vial.added_run_s,
        expect: null,
        group: null,
        levelMolPercent: null,
        extent: null,
        identity: null,
        sampleMl: null,
        sampleG: null,
        densityGMl: null,
        molarMassGMol: null,
      }),
    ),
  } as unknown as Run;
  const request: AnalyseRequest = {
    run,
    reaction,
    glance: false,
    untilS: null,
    clock: () => new Date(0),
    version: '0',
    cacheDir: null,
    baseDir: '/',
    inputs: [],
    chartSha256: null,
  };
  const { result } = await judge(simulateColours(scenario), request);
  // Noise, limit and times are told against the plan in every run.
  expect(result.checks.map(({ code }) => code)).toEqual(
    expect.arrayContaining(['plan-declared', 'plan-noise', 'plan-limit', 'plan-times']),
  );
  return result.samples.map((sample, at) => ({
    multiple: multiples(seed)[at]!,
    reacted: sample.outcome === 'reacted',
  }));
}

/** Measured with 20 runs: power 0.3 at 0.8 times the promise, 1.0 at 1.2 times, no clean sample called. */
describe('the promised limit', () => {
  it(
    'is found by the whole analysis within 20 %: nine in ten above it, not yet below',
    { timeout: 180_000 },
    async () => {
      const found: { multiple: number; reacted: boolean }[] = [];
      for (let seed = 0; seed < 8; seed += 1) found.push(...(await outcomes(seed)));
      const power = (multiple: number): number => {
        const some = found.filter((one) => one.multiple === multiple);
        return some.filter(({ reacted }) => reacted).length / some.length;
      };
      expect(power(1.2)).toBeGreaterThanOrEqual(0.9);
      expect(power(0.8)).toBeLessThan(0.9);
      expect(power(0)).toBeLessThan(0.05);
    },
  );
});
