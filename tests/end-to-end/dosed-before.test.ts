import { expect, it } from 'vitest';
import { extentAt } from '../../src/simulate/extent-course.ts';
import { truthOf } from '../../src/simulate/index.ts';
import { extentErrors, smallRun, twelve } from './extent-errors.ts';
import { benchFolder } from './rack.ts';

const bench = benchFolder();
/** How long before the first frame the first vial was dosed. */
const earlierS = 1800;

it('a rack dosed half an hour before its film: true times, and what came before the film is censored', async () => {
  const vials = twelve.map((vial) => ({ ...vial, addedRunS: (vial.addedRunS ?? 0) - earlierS }));
  const scenario = smallRun({ seed: 81, frame: { width: 640, height: 360 }, vials });
  const { median, worst, run } = await extentErrors(scenario, bench('before'));
  expect(median).toBeLessThan(0.02);
  expect(worst).toBeLessThan(0.05);
  const { result } = run.analysis;
  const of = (label: string): (typeof result.vials)[number] => result.vials.find((vial) => vial.label === label)!;
  const truth = truthOf(scenario);
  for (const label of ['1-butanol', '2-butanol', 'wrong bottle']) {
    const { fit, onset_s: onset, added_run_s: addedRunS } = of(label);
    const firstS = -addedRunS!;
    expect(onset).toEqual({ value: firstS, se: null, ci95: [null, firstS], censored: 'left' });
    // the upper bound carries the error of the colour path
    expect(fit.half_time_s).toMatchObject({ value: firstS, censored: 'left' });
    expect(fit.half_time_s!.ci95[0]).toBeNull();
  }
  // first order with three quarters gone unseen: the constant is that of the true clock
  const { rate_factor: factor } = truth.vials.find(({ label }) => label === 'wrong bottle')!;
  const { rate_constant: k } = of('wrong bottle').fit;
  expect(k!.ci95[0]!).toBeLessThan(0.001 * factor);
  expect(k!.ci95[1]!).toBeGreaterThan(0.001 * factor);
  expect(Math.abs(k!.value / (0.001 * factor) - 1)).toBeLessThan(0.1);
  // two steps: the half-time lies inside the film
  const ester = truth.vials.find(({ label }) => label === 'ester cut')!;
  const course = scenario.vials.at(-2)!.kinetics;
  let half = 0;
  while (extentAt(course, half, ester.rate_factor) < 0.5) half += 1;
  expect(half).toBeGreaterThan(earlierS);
  const { half_time_s: found } = of('ester cut').fit;
  expect(Math.abs(found!.value / half - 1)).toBeLessThan(0.05);
  expect(found!.censored).toBe('none');
  expect(result.reading_window!.from_s).toBeGreaterThanOrEqual(earlierS - 220);
  expect(result.checks.find(({ code }) => code === 'fast-part')!.message).toMatch(/Of A2, A3 and B4 it began before/);
  expect(Object.fromEntries(result.samples.map(({ label, outcome }) => [label, outcome]))).toEqual(
    Object.fromEntries(truth.samples.map(({ label, outcome }) => [label, outcome])),
  );
}, 60_000);
