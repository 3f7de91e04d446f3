import { describe, expect, it } from 'vitest';
import { withLag } from '../../src/kinetics/lag-allowance.ts';
import { relativeShifts } from '../../src/kinetics/path-allowance.ts';
import type { Fit } from '../../src/model/fit.ts';
import { firstOrderFit } from '../judge/synthetic.ts';

const rate = 1 / 1500;
const half = Math.LN2 / rate;
const fit = {
  ...firstOrderFit(rate),
  model: 'first-order',
  halfTimeS: { value: half, se: 0, ci95: [half, half], censored: 'none' },
} as Fit;

describe('extents that lag behind', () => {
  it('widen a half-time by what the lag is in time: the lag over the slope of 1 - exp(-kt) at its middle', () => {
    const lagSe = 0.01;
    const slopePerS = rate / 2;
    const { halfTimeS } = withLag(fit, lagSe);
    expect(halfTimeS!.se!).toBeCloseTo(lagSe / slopePerS, 6);
    expect(halfTimeS!.ci95[1]! / half).toBeCloseTo(Math.exp((1.96 * lagSe) / slopePerS / half), 6);
  });

  it('widen a constant, and change nothing where there is no lag', () => {
    expect(withLag(fit, 0)).toBe(fit);
    const before = fit.rateConstant!;
    const after = withLag(fit, 0.02).rateConstant!;
    expect(after.value).toBe(before.value);
    expect(after.ci95[1]!).toBeGreaterThan(before.ci95[1]!);
    expect(after.ci95[0]!).toBeLessThan(before.ci95[0]!);
  });
});

describe('a bend of the path', () => {
  const extent = Array.from({ length: 41 }, (_, index) => index / 40);
  const arch = extent.map((x) => 0.04 * x * (1 - x));
  const draws = { extent, draws: [arch] };

  it('makes a course from dosing on and one with a free beginning quicker, but not alike', () => {
    const [started] = relativeShifts(draws, 1, false);
    const [free] = relativeShifts(draws, 1, true);
    // from dosing: change of -ln(1 - x) at half-way over its value; free: of its difference between 0.2 and 0.8 (own arithmetic)
    expect(started! / free!).toBeCloseTo(0.01 / (Math.LN2 / 2) / ((0.0064 / 0.2 - 0.0064 / 0.8) / Math.log(4)), 6);
    expect(started!).toBeGreaterThan(0);
    expect(free!).toBeGreaterThan(0);
  });
});
