import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { ciede2000 } from '../../src/colour/index.ts';
import { dayError } from '../../src/match/day-error.ts';
import { type MeasuredRun, matchRun } from '../../src/match-run.ts';
import { createScenario, type ScenarioInput } from '../../src/simulate/index.ts';
import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { measure } from '../../src/kept-measurement.ts';
import { extentErrors, phoneCamera, smallRun } from './extent-errors.ts';
import { benchFolder, requestOn } from './rack.ts';

const bench = benchFolder();
const frame = { width: 480, height: 270 };

it('a chart read in the first frames serves through a step of white balance and a nudge later', async () => {
  const scenario = smallRun({
    seed: 4,
    frame,
    rack: { chart: true },
    camera: phoneCamera,
    light: { flicker: 0.003 },
    disturbances: {
      gainSteps: [{ atRunS: 5000, gains: [1.06, 1, 0.93] }],
      moves: [{ atRunS: 6500, dx: 3, dy: -4 }],
    },
  });
  const found = await extentErrors(scenario, bench('later'));
  // The main job's figures. Measured over six seeds and three kinds of step: medians 0.003 to 0.007, worst 0.017 to 0.045.
  expect(found.median).toBeLessThan(0.02);
  expect(found.worst).toBeLessThan(0.05);
  const { measurement } = found.run.analysis;
  expect(measurement.chart).toMatchObject({ applied: true });
  expect(measurement.notes.map(({ code }) => code)).toEqual(
    expect.arrayContaining(['camera-moved', 'white-balance-step']),
  );
  expect(Math.hypot(measurement.motion.dx.at(-1)!, measurement.motion.dy.at(-1)!)).toBeCloseTo(5, 0);
}, 60_000);

/** Invented colours around the circle. */
const colours = ['#3f8f4e', '#b8423c', '#7a4a94', '#d8a53a', '#5c7890', '#8a5a3a', '#c8c070', '#4f9a9a'];

/** One photograph of the same eight liquids, with the chart in it or the chart's table left out of the rig. */
async function photograph(
  name: string,
  day: Pick<ScenarioInput, 'lamp' | 'camera'>,
  chart: boolean,
): Promise<MeasuredRun> {
  const scenario = createScenario({
    name,
    seed: 3,
    frame,
    frameCount: 1,
    ...day,
    media: { kind: 'jpeg', quality: 95 },
    rack: { rows: 2, columns: 5, chart: true },
    spread: { brightness: 0, path: 0, rate: 0 },
    vials: [
      { label: 'water', role: 'blank', kinetics: { model: 'none' } },
      ...colours.map((colour, index) => ({
        label: `vial ${index}`,
        ...(name.startsWith('monday')
          ? { role: 'known' as const, identity: `compound ${index}` }
          : { role: 'sample' as const }),
        kinetics: { model: 'colours' as const, from: colour, to: colour, k: 0 },
      })),
    ],
  });
  const { runFile } = await writeSimulatedRun(scenario, bench(name), { comment: 'a test' });
  if (!chart) {
    const rigFile = path.join(path.dirname(runFile), 'rig.json');
    const rig = JSON.parse(readFileSync(rigFile, 'utf8')) as object;
    writeFileSync(rigFile, JSON.stringify({ ...rig, chart: undefined }));
  }
  const request = await requestOn(runFile);
  const { measurement } = await measure(request);
  return { run: request.run, measurement };
}

it('two days of other cameras are linked by the chart in both, far closer than by a patch', async () => {
  const apart = async (chart: boolean): Promise<number> => {
    const kind = chart ? 'chart' : 'patch';
    const monday = await photograph(`monday-${kind}`, { camera: phoneCamera }, chart);
    const tuesday = await photograph(`tuesday-${kind}`, { camera: { preset: 'broad', exposure: 0.7 } }, chart);
    expect([monday, tuesday].map(({ measurement }) => measurement.chart?.applied ?? false)).toEqual([chart, chart]);
    const { vials } = matchRun(tuesday, monday, ({ name }) => name);
    const squares = colours.map((_, index) => {
      const [own, other] = ['own', 'other'].map((picture) =>
        vials.find((vial) => vial.picture === picture && vial.label === `vial ${index}`)!,
      );
      return ciede2000(own!.final, other!.final) ** 2;
    });
    return Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / squares.length);
  };
  const [linked, bare] = [await apart(true), await apart(false)];
  // Measured, CIEDE2000: 2.0 and 5.6.
  expect(linked).toBeLessThan(0.6 * dayError);
  expect(bare).toBeGreaterThan(2 * linked);
}, 60_000);
