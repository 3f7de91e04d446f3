import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { linearRgbToOklab, oklabDistance } from '../../src/colour/index.ts';
import { loadReaction, reactionsFolder } from '../../src/files/index.ts';
import type { AnalyseRequest } from '../../src/analyse-request.ts';
import { judge } from '../../src/pipeline.ts';
import type { Run } from '../../src/model/run.ts';
import { makePlan } from '../../src/plan/make-plan.ts';
import { paceOf, slowRate } from '../../src/plan/rates.ts';
import { scenarioOfPlan } from '../../src/plan/scenario-of-plan.ts';
import { createScenario, exampleRun, simulateColours } from '../../src/simulate/index.ts';
import type { Bench } from '../../src/plan/bench.ts';
import type { Plan } from '../../src/plan/plan.ts';
import { reagentFacts } from '../../src/plan/recipe.ts';
import { lots, smallBench } from './small-bench.ts';

const reaction = await loadReaction(path.join(reactionsFolder, 'acid-dichromate.json'));
/** The same with two negatives, half the chromium and duplicate lots, all but one of them dirty. */
const { materials } = smallBench;
const otherBench: Bench = {
  ...smallBench,
  name: 'other',
  reagent: { ...smallBench.reagent, saltG: 0.05 },
  rack: { rows: 2, columns: 7 },
  materials: [
    ...materials
      .filter(({ role }) => role !== 'sample')
      .map((one) => (one.role === 'negative' ? { ...one, vials: 2 } : one)),
    ...lots(4, 2),
  ],
};
const planOf = (bench: Bench) =>
  makePlan({
    bench,
    reaction,
    rehearsals: 4,
    colourDistance: (first, second) => oklabDistance(linearRgbToOklab(first), linearRgbToOklab(second)),
  });
/** Where the analysis finds the predictions: beside the bench file that the run names. */
const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-power-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Found {
  readonly multiple: number;
  readonly reacted: boolean;
}

/** The whole judgement of one run of the plan, with samples that truly differ by these multiples of the promise (0 beyond the list). */
async function outcomes(
  bench: Bench,
  plan: Plan,
  seed: number,
  multiples: readonly number[],
): Promise<readonly Found[]> {
  writeFileSync(path.join(folder, 'plan.json'), JSON.stringify(plan.predictions));
  const promised = plan.predictions.detectable!.extent;
  const { acidMolL, chromiumMolL } = reagentFacts(bench.reagent, bench.reagentMl);
  const paces = plan.materials.map((one) => paceOf({ kind: one.kind }, bench.temperatureC, acidMolL));
  const groups = [...new Set(plan.vials.filter(({ role }) => role === 'sample').map(({ name }) => name))];
  const multipleOf = (name: string): number => multiples[groups.indexOf(name)] ?? 0;
  const scenario = createScenario({
    ...scenarioOfPlan(
      bench,
      plan.vials,
      { materials: plan.materials, paces, chromiumMolL },
      { ...plan, frames: 72, intervalS: plan.durationS / 71 },
      (vial) => {
        if (vial.role !== 'sample') return null;
        const amplitude = multipleOf(vial.name) * promised;
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
    vials: (written['vials'] as readonly WrittenVial[]).map((vial) => ({
      region: vial.region,
      label: vial.label,
      role: vial.role,
      addedRunS: vial.added_run_s,
      expect: null,
      group: vial.group ?? null,
      levelMolPercent: null,
      extent: null,
      identity: null,
      sampleMl: null,
      sampleG: null,
      densityGMl: null,
      molarMassGMol: null,
    })),
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
  return result.samples.map((sample) => ({
    multiple: multipleOf(sample.group ?? sample.label),
    reacted: sample.outcome === 'reacted',
  }));
}

interface WrittenVial {
  readonly region: string;
  readonly label: string;
  readonly role: string;
  readonly added_run_s: number;
  readonly group?: string;
}

const power = (found: readonly Found[], multiple: number): number => {
  const some = found.filter((one) => one.multiple === multiple);
  return some.filter(({ reacted }) => reacted).length / some.length;
};

/** Over 24 other plans the limit found was 0.78 to 1.02 of the promised one (DEVELOPERS.md). */
describe('the promised limit', () => {
  it(
    'is found by the whole analysis within 20 %: nine in ten above it, not yet below',
    { timeout: 240_000 },
    async () => {
      const plan = planOf(smallBench);
      const found: Found[] = [];
      for (let seed = 0; seed < 8; seed += 1)
        found.push(...(await outcomes(smallBench, plan, seed, [seed % 2 === 0 ? 0.8 : 1.2])));
      expect(power(found, 1.2)).toBeGreaterThanOrEqual(0.9);
      expect(power(found, 0.8)).toBeLessThan(0.9);
      expect(power(found, 0)).toBeLessThan(0.05);
    },
  );

  it('holds for a rack with two negatives, another dose and most lots dirty', { timeout: 240_000 }, async () => {
    const plan = planOf(otherBench);
    const found: Found[] = [];
    for (let seed = 0; seed < 5; seed += 1) {
      const dirty = seed % 2 === 0 ? 1.2 : 0.7;
      found.push(...(await outcomes(otherBench, plan, seed, [dirty, dirty, dirty])));
    }
    expect(power(found, 1.2)).toBeGreaterThanOrEqual(0.9);
    expect(power(found, 0.7)).toBeLessThan(0.9);
    expect(power(found, 0)).toBe(0);
  });
});
