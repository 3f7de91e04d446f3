import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { analyseRun } from '../../src/pipeline.ts';
import { errorsOf, extentErrors, phoneCamera, smallRun } from './extent-errors.ts';
import { benchFolder, requestOn } from './rack.ts';

const bench = benchFolder();

/**
 * A phone whose automatic exposure goes down by 30 % in mid-run. Bent curves turn a common factor into one that depends on the colour.
 */
const phone = smallRun({
  seed: 5,
  frame: { width: 480, height: 270 },
  rack: { chart: true },
  camera: phoneCamera,
  disturbances: { gainSteps: [{ atRunS: 5000, gains: [0.7, 0.7, 0.7] }] },
});

it('a phone\u2019s curves bend extents, and no longer do with its chart', async () => {
  const folder = bench('phone');
  const withChart = await extentErrors(phone, folder);
  // The main job's figures: median 0.02, worst 0.05. Measured: 0.005 and 0.023.
  expect(withChart.median).toBeLessThan(0.01);
  expect(withChart.worst).toBeLessThan(0.04);
  const { measurement, result } = withChart.run.analysis;
  expect(measurement.chart).toMatchObject({ applied: true, curves: 'common', patches: 24 });
  expect(measurement.chart!.leftOutMeanDeltaE!).toBeLessThan(2);
  const check = result.checks.find(({ code }) => code === 'chart')!;
  expect(check.status).toBe('pass');
  expect(check.message).toMatch(
    /one tone curve and a matrix from 2[234] of 24 chart patches: .* on average .* at most \(CIEDE2000\)/,
  );
  expect(result.run.assumptions.join(' ')).toMatch(/user's chart.*as the table says, for D65/);

  const rigFile = path.join(folder, 'rig.json');
  const { chart, ...rig } = JSON.parse(readFileSync(rigFile, 'utf8')) as Record<string, unknown>;
  writeFileSync(rigFile, JSON.stringify(rig));
  const without = errorsOf(phone, await analyseRun(await requestOn(path.join(folder, 'run.yaml'))));
  // Measured: 0.038 and 0.100.
  expect(without.median).toBeGreaterThan(0.02);
  expect(without.worst).toBeGreaterThan(0.05);
  expect(without.run.analysis.measurement.chart).toBeNull();

  // Half a cell off: what is read is no longer what the table says. Nothing is applied, and the report says so.
  const corners = (chart as { corners: number[][] }).corners.map(([x, y]) => [x! + 30, y! + 15]);
  writeFileSync(rigFile, JSON.stringify({ ...rig, chart: { ...(chart as object), corners } }));
  const off = (await analyseRun(await requestOn(path.join(folder, 'run.yaml')))).analysis;
  expect(off.measurement.chart!.applied).toBe(false);
  expect(off.result.checks.find(({ code }) => code === 'chart')).toMatchObject({
    status: 'warn',
    message: expect.stringMatching(/was not applied: its colours are far off the table/),
  });
}, 60_000);
