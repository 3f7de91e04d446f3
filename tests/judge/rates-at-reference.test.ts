import { describe, expect, it } from 'vitest';
import { ratesAtReference } from '../../src/judge/rates-at-reference.ts';
import { arrheniusFactor } from '../../src/judge/temperature.ts';
import { firstOrder, firstOrderFit, syntheticRack } from './synthetic.ts';

const rate = 1 / 1000;
const halfTimeS = 1000 * Math.LN2;

/** One vial dosed 600 s into a run of two hours, first order with a half-time of 693 s unless told otherwise. */
function vial(
  fit: ReturnType<typeof firstOrderFit> = firstOrderFit(rate),
  lastS = 6600,
): Parameters<typeof ratesAtReference>[1] {
  const { series, fits } = syntheticRack({
    vials: [{ role: 'sample', addedRunS: 600, course: firstOrder(rate), fit }],
  });
  const timeS = series[0]!.timeS.filter((time) => time >= 0 && time <= lastS);
  const zeros = timeS.map(() => 0);
  return { series: series[0]!, fit: fits[0]!, usable: { timeS, extent: zeros, se: zeros, frame: zeros } };
}

/** 20 degrees until `untilRunS`, then 35. */
const warmedAfter = (untilRunS: number): NonNullable<Parameters<typeof ratesAtReference>[0]> => ({
  runS: [0, untilRunS, untilRunS + 1, 20_000],
  temperatureC: [20, 20, 35, 35],
});

describe('rates at the reference temperature', () => {
  it('are both turned by the factor of Arrhenius, with the unit of the constant', () => {
    const found = ratesAtReference({ runS: [0, 7200], temperatureC: [20, 20] }, vial())!;
    const { value } = arrheniusFactor(20, 25);
    expect(found.measured_c).toBeCloseTo(20, 9);
    expect(found.reference_c).toBe(25);
    expect(found.rate_constant!.value).toBeCloseTo(rate * value, 12);
    expect(found.rate_constant!.unit).toBe('1/s');
    expect(found.initial_rate!.value).toBeCloseTo(rate * value, 12);
  });

  it('rest on the time from dosing to four half-times: warmth before and after makes no difference', () => {
    expect(ratesAtReference(warmedAfter(600 + 4 * halfTimeS), vial())!.measured_c).toBeCloseTo(20, 9);
    expect(ratesAtReference(warmedAfter(600 + 3.9 * halfTimeS), vial())!.measured_c).toBeGreaterThan(20.1);
    const colder = { runS: [0, 599, 600, 20_000], temperatureC: [0, 0, 20, 20] };
    expect(ratesAtReference(colder, vial())!.measured_c).toBeCloseTo(20, 9);
  });

  it('rest on the time to the last frame where that is earlier, or where no half-time was passed', () => {
    expect(ratesAtReference(warmedAfter(1600), vial(firstOrderFit(rate), 960))!.measured_c).toBeCloseTo(20, 9);
    const slow = { ...firstOrderFit(1e-6), halfTimeS: null };
    expect(ratesAtReference(warmedAfter(600 + 6600), vial(slow))!.measured_c).toBeCloseTo(20, 9);
    expect(ratesAtReference(warmedAfter(600 + 4 * halfTimeS), vial(slow))!.measured_c).toBeGreaterThan(25);
    const seen = firstOrderFit(rate);
    const censored = { ...seen, halfTimeS: { ...seen.halfTimeS!, censored: 'right' as const } };
    expect(ratesAtReference(warmedAfter(600 + 4 * halfTimeS), vial(censored))!.measured_c).toBeGreaterThan(25);
  });

  it('are null without a probe, without readings in that time, or without a rate, and each by itself', () => {
    const steady = { runS: [0, 7200], temperatureC: [20, 20] };
    expect(ratesAtReference(null, vial())).toBeNull();
    expect(ratesAtReference({ runS: [0, 599], temperatureC: [20, 20] }, vial())).toBeNull();
    expect(ratesAtReference(steady, vial(firstOrderFit(rate), -1))).toBeNull();
    const none = { rateConstant: null, initialRate: null };
    expect(ratesAtReference(steady, vial({ ...firstOrderFit(rate), ...none }))).toBeNull();
    const constantOnly = ratesAtReference(steady, vial({ ...firstOrderFit(rate), initialRate: null }))!;
    expect([constantOnly.rate_constant === null, constantOnly.initial_rate]).toEqual([false, null]);
    const initialOnly = ratesAtReference(steady, vial({ ...firstOrderFit(rate), rateConstant: null }))!;
    expect([initialOnly.rate_constant, initialOnly.initial_rate === null]).toEqual([null, false]);
  });
});
