import { describe, expect, it } from 'vitest';
import {
  arrheniusFactor,
  effectiveTemperature,
  rateAtReference,
  summariseTemperature,
} from '../../src/judge/temperature.ts';

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

  it('counts within the time asked for, between its readings too', () => {
    const probe = { runS: [0, 100, 200, 300], temperatureC: [10, 20, 40, 90] };
    // 15 at 50 s and 30 at 150 s: (17.5 x 50 + 25 x 50) / 100
    expect(summariseTemperature(probe, 50, 150)).toEqual({ lowestC: 15, highestC: 30, meanC: 21.25 });
    expect(summariseTemperature(probe, 120, 120)).toEqual({ lowestC: 24, highestC: 24, meanC: 24 });
  });

  it('holds its nearest reading beyond its ends, and says nothing of a time without any', () => {
    const probe = { runS: [100, 200], temperatureC: [20, 30] };
    expect(summariseTemperature(probe, 0, 100)).toEqual({ lowestC: 20, highestC: 20, meanC: 20 });
    expect(summariseTemperature(probe, 200, 400)).toEqual({ lowestC: 30, highestC: 30, meanC: 30 });
    expect(summariseTemperature(probe, 0, 99)).toBeNull();
    expect(summariseTemperature(probe, 201, 400)).toBeNull();
    expect(summariseTemperature(probe, 200, 100)).toBeNull();
  });
});

describe('the steady temperature that would have done the same', () => {
  /** J. D. Haynes, J. Pharm. Sci. 60:927 (1971), mean kinetic temperature of readings at equal intervals; formula from memory. */
  const meanKineticC = (readingsC: readonly number[], kjPerMol: number): number => {
    const ratio = (kjPerMol * 1000) / 8.314462618;
    const rates = readingsC.map((celsius) => Math.exp(-ratio / (celsius + 273.15)));
    return ratio / -Math.log(rates.reduce((sum, rate) => sum + rate, 0) / rates.length) - 273.15;
  };

  it.each([
    [50, 10],
    [83.144, 20],
    [83.144, 5],
  ])('is the mean kinetic temperature, at %f kJ/mol and a swing of %f degrees', (kjPerMol, swing) => {
    // Trapezoids count the ends by half: 20, 20 + swing, 20 stands for the four readings of Haynes's sum.
    const probe = { runS: [0, 60, 120], temperatureC: [20, 20 + swing, 20] };
    const found = effectiveTemperature(probe, 0, 120, { kjPerMol, u: 0 })!;
    expect(found).toBeCloseTo(meanKineticC([20, 20 + swing, 20 + swing, 20], kjPerMol), 6);
    expect(found).toBeGreaterThan(20 + swing / 2);
  });

  it('is the temperature itself where that was steady, and counts within the time asked for', () => {
    const probe = { runS: [0, 100, 200, 300], temperatureC: [21, 21, 21, 80] };
    expect(effectiveTemperature(probe, 0, 200)).toBeCloseTo(21, 9);
    expect(effectiveTemperature(probe, 200, 300)!).toBeGreaterThan(50.5);
    expect(effectiveTemperature(probe, 301, 400)).toBeNull();
  });
});
