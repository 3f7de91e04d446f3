import path from 'node:path';
import { expect, it } from 'vitest';
import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { createScenario, layoutOf } from '../../src/simulate/index.ts';
import { cardLight } from '../../src/simulate/scene/background.ts';
import { exposureAt } from '../../src/simulate/stage.ts';
import { placeInFrame } from '../../src/model/place-in-frame.ts';
import { judge } from '../../src/pipeline.ts';
import type { Analysis } from '../../src/model/analysis.ts';
import { analysed, benchFolder, requestOn } from './rack.ts';

const folder = benchFolder();

/*
 * References in the upper row, still samples in the lower one, and a lens that loses 35 % in the corners: what the vials differ by
 * looks like extent, and only the backdrop beside them tells it from one. Truth is the forward model's own.
 */
it('tells light that falls off from samples that react', { timeout: 60_000 }, async () => {
  const still = { model: 'zero-order', rate: 5e-7 } as const;
  const scenario = createScenario({
    name: 'falls off',
    seed: 11,
    frame: { width: 640, height: 360 },
    frameCount: 24,
    intervalS: 600,
    media: { kind: 'jpeg' },
    camera: { vignetting: 0.35 },
    rack: { rows: 2, columns: 5 },
    reading: { readAtS: 10_800 },
    vials: [
      { label: 'reagent only', role: 'blank', kinetics: { model: 'none' } },
      { label: '1-butanol', role: 'positive', kinetics: { model: 'first-order', k: 1e-3 } },
      ...[1, 2, 3].map(() => ({ label: 'tert-butanol', role: 'negative' as const, kinetics: still })),
      ...[1, 2, 3, 4, 5].map((lot) => ({
        label: `recovered lot ${lot}`,
        role: 'sample' as const,
        expect: 'resists' as const,
        kinetics: still,
      })),
    ],
  });
  const { runFile } = await writeSimulatedRun(scenario, path.join(folder('falls-off'), 'run'), { comment: 'test' });
  const { analysis } = await analysed(runFile);
  const { run, measurement, result } = analysis;
  const { width, height } = scenario.frame;
  expect([width, height]).toEqual([run.rig.frame.width, run.rig.frame.height]);
  const backdrop = measurement.backdrop!;
  const lit = cardLight(scenario.seed, 0, scenario.frame);
  const exposed = exposureAt(scenario);
  const off = layoutOf(scenario).vials.map(({ region, centreX, surface, floor }) => {
    const [x, y] = placeInFrame(
      run.rig.regions.find(({ id }) => id === region)!,
      run.rig.frame,
    );
    const middle = (surface + floor) / 2;
    const truly = Math.log(lit(centreX, middle) * exposed(centreX, middle));
    return backdrop.tiltX * x + backdrop.tiltY * y + backdrop.fallOff * (x * x + y * y) - truly;
  });
  expect(Math.max(...off) - Math.min(...off)).toBeLessThan(0.03);
  expect(result.run.assumptions.join(' ')).toContain('The backdrop beside the vials');
  expect(result.samples.map(({ outcome }) => outcome)).toEqual(Array.from({ length: 5 }, () => 'resisted'));
  // every sample is as clean as the negatives: true differences are 0
  const blind = await judge({ ...measurement, backdrop: null }, await requestOn(runFile));
  const rms = ({ result: { samples } }: Analysis): number =>
    Math.sqrt(samples.reduce((sum, { extent_difference: d }) => sum + d!.value ** 2, 0) / samples.length);
  expect(rms(analysis)).toBeLessThan(0.015);
  expect(rms(blind)).toBeGreaterThan(1.2 * rms(analysis));
});
