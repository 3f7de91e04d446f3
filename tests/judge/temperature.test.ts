import { describe, expect, it } from 'vitest';
import { arrheniusFactor, rateAtReference, summariseTemperature } from '../../src/judge/temperature.ts';

describe('Arrhenius', () => {
  // Hassan et al., S. Afr. J. Chem. 64:237 (2011): k(35 C) / k(25 C) = 1.69, activation near 40 kJ/mol.
  it('40 kJ/mol makes 35 C 1.69 times as fast as 25 C', () => {
    expect(arrheniusFactor(25, 35, { kjPerMol: 40, u: 0 }).value).toBeCloseTo(1.69, 2);
  });

  it('knows nothing to correct at the reference temperature', () => {
    expect(arrheniusFactor(25, 25)).toEqual({ value: 1, u: 0 });
  });

  it('carries the uncertainty of the activation energy', () => {
    const factor = arrheniusFactor(15, 25, { kjPerMol: 50, u: 5 });
    const steeper = arrheniusFactor(15, 25, { kjPerMol: 50.01, u: 0 }).value;
    expect(factor.u).toBeCloseTo(((steeper - factor.value) / 0.01) * 5, 2);
  });

  it('corrects a rate with its interval, symmetric in the logarithm', () => {
    const rate = rateAtReference({ value: 1e-3, se: 5e-5, ci95: [9e-4, 1.1e-3] }, 20)!;
    expect(rate.value).toBeGreaterThan(1e-3);
    expect((rate.ci95[0]! * rate.ci95[1]!) / rate.value ** 2).toBeCloseTo(1, 10);
    expect(rateAtReference({ value: 0, se: 1, ci95: [null, null] }, 20)).toBeNull();
  });
});

describe('the probe', () => {
  it('is averaged over time, not over readings', () => {
    const probe = { runS: [0, 10, 100], temperatureC: [20, 30, 30] };
    expect(summariseTemperature(probe, 0, 100)).toEqual({ lowestC: 20, highestC: 30, meanC: 29.5 });
    expect(summariseTemperature({ runS: [], temperatureC: [] }, 0, 100)).toBeNull();
  });
});
