import path from 'node:path';
import { expect, it } from 'vitest';
import { camelKeys } from '../../src/cli/camel-keys.ts';
import { loadScenario } from '../../src/files/load-scenario.ts';
import { createScenario, type Scenario } from '../../src/simulate/index.ts';
import { extentErrors } from './extent-errors.ts';
import { benchFolder } from './rack.ts';

const bench = benchFolder();

/** Two layers, a precipitate and a drying vial beside a blank, a positive and three negatives; nudge, hand and white balance as well. */
async function troubled(over: Partial<Scenario>): Promise<Scenario> {
  const written = await loadScenario(path.resolve('fixtures/scenarios/troubled.yaml'));
  return createScenario({ ...camelKeys({ ...written, plan: undefined }), ...over });
}

it.each([
  ['as written: PNG', 'png', {}],
  [
    'larger, as JPEG',
    'jpeg',
    { seed: 11, frame: { width: 960, height: 400 }, media: { kind: 'jpeg' as const, quality: 90 } },
  ],
])(
  'each strange vial of a rack is undecided by its own reason, and the others are read as if alone (%s)',
  async (_, name, over) => {
    const scenario = await troubled(over as Partial<Scenario>);
    const { run } = await extentErrors(scenario, bench(`troubled-${name}`));
    const { result, series } = run.analysis;
    const reasonOf = (label: string): string => {
      const sample = result.samples.find((one) => one.label === label)!;
      expect(sample.outcome, label).toBe('undecided');
      return sample.reason;
    };
    expect(reasonOf('two layers')).toMatch(/two liquid layers/);
    expect(reasonOf('turns cloudy')).toMatch(/do not change as this reaction's do/);
    expect(reasonOf('dries out')).toMatch(/do not change as this reaction's do/);
    expect(result.checks.find(({ code }) => code === 'evaporation')!.message).toMatch(/A8/);
    expect(result.checks.find(({ code }) => code === 'two-layers')!.message).toMatch(/^A6:/);
    expect(series.filter(({ strange }) => strange).map(({ region }) => region)).toEqual(['A7', 'A8']);
    for (const still of ['A1', 'A3', 'A4', 'A5']) {
      const extents = series
        .find(({ region }) => region === still)!
        .extent.flatMap((one) => (one === null ? [] : [one]));
      expect(Math.max(...extents.map(Math.abs)), still).toBeLessThan(0.025);
    }
  },
  60_000,
);
