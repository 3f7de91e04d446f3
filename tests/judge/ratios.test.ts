import { describe, expect, it } from 'vitest';
import { logRatio, meanOf, positiveOf, type Positive } from '../../src/judge/log-ratio.ts';
import { judgeRun } from '../../src/judge/judge-run.ts';
import type { VialAmounts } from '../../src/model/dose-facts.ts';
import type { Fit } from '../../src/model/fit.ts';
import type { ResultSample } from '../../src/model/result.ts';
import { fiellerInterval } from '../../src/numeric/fieller.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticVial } from './synthetic.ts';

const quick = 1 / 300;
const turning = (more: Partial<SyntheticVial> = {}): SyntheticVial => ({
  role: 'sample',
  course: firstOrder(quick),
  fit: firstOrderFit(quick),
  ...more,
});
const stillFit: Partial<Fit> = {
  model: 'none',
  initialRate: { value: 0, se: null, ci95: [0, 2e-7] },
  halfTimeS: { value: 7200, se: null, ci95: [7200, null], censored: 'right' },
};
const moles = (sampleMol: number, u: number | null = null): Partial<VialAmounts> => ({
  reagentMol: { value: 30e-6, u: null },
  sampleMol: { value: sampleMol, u },
});
const compare = (vials: readonly SyntheticVial[]): ResultSample['against'] =>
  judgeRun(syntheticRack({ vials })).samples[0]!.against;
const withAmounts = (reference: number, sample: number, u: number | null = null) =>
  usualVials(3, [turning({ amounts: moles(sample, u) })]).map((vial) =>
    vial.role === 'positive' ? { ...vial, amounts: moles(reference) } : vial,
  );

describe('ratios', () => {
  it('compare with references that moved, only', () => {
    const found = compare(usualVials(3, [turning()]));
    expect(found.map(({ reference }) => reference)).toEqual(['P1', 'P2']);
    expect(found[0]!.rate_ratio!.value).toBeCloseTo(3, 6);
    expect(found[0]!.half_time_ratio!.value).toBeCloseTo(1 / 3, 6);
    expect(found[0]!.rate_ratio!.bounded).toBe(true);
  });

  it('are unbounded when the rate of the reference is not known from zero', () => {
    const vials = usualVials(3, [turning()]).map((vial) =>
      vial.region === 'P1' ? { ...vial, fit: firstOrderFit(1 / 900, 1, 0.8) } : vial,
    );
    const { rate_ratio: ratio, reason } = compare(vials)[0]!;
    expect(ratio).toMatchObject({ bounded: false, se: null });
    expect(ratio!.ci95[0]).toBeGreaterThan(0);
    expect(ratio!.ci95[1]).toBeNull();
    expect(reason).toMatch(/rate of the reference is not known from zero/);
  });

  it('of a sample that did not move are an upper limit, never 0 with an error of 0', () => {
    const {
      rate_ratio: ratio,
      half_time_ratio: halfTime,
      reason,
    } = compare(usualVials(3, [{ role: 'sample', fit: stillFit }]))[0]!;
    expect(ratio).toMatchObject({ value: 0, se: null, bounded: true });
    // 2e-7 over the lower limit of 1 / 900, 1 % known: 1.8e-4 / (1 - 0.0196)
    expect(ratio!.ci95[0]).toBe(0);
    expect(ratio!.ci95[1]).toBeCloseTo(1.8e-4 / 0.9804, 8);
    expect(halfTime).toBeNull();
    expect(reason).toMatch(/upper limit only/);
    expect(reason).toMatch(/No half-time of the sample/);
  });

  it('are null, with the reason, where nothing can be compared', () => {
    const noLimit = { ...stillFit, initialRate: { value: 0, se: null, ci95: [0, null] as const } };
    const open = compare(usualVials(3, [{ role: 'sample', fit: noLimit }]))[0]!;
    expect(open).toMatchObject({ rate_ratio: null, rate_basis: null, half_time_ratio: null });
    expect(open.reason).toMatch(/no upper limit/);
    const uneven = compare(usualVials(3, [turning({ group: 'lot' }), { role: 'sample', group: 'lot', fit: stillFit }]));
    expect(uneven[0]!.rate_ratio).toBeNull();
    expect(uneven[0]!.reason).toMatch(/Some replicates moved/);
    // an exact number without error is no measurement
    const exact = compare(usualVials(3, [turning({ fit: firstOrderFit(quick, 1, 0) })]))[0]!;
    expect(exact).toMatchObject({ rate_ratio: null, half_time_ratio: null });
  });
});

describe('intervals of ratios', () => {
  const quantity = (value: number, relativeSe: number, shifts: readonly number[] = []): Positive =>
    positiveOf({ value, se: value * relativeSe, ci95: logSides(value, relativeSe, shifts) }, shifts)!;
  const logSides = (value: number, relativeSe: number, shifts: readonly number[]): readonly [number, number] => {
    const reach = 1.959964 * Math.hypot(relativeSe, rootMeanSquare(shifts));
    return [value * Math.exp(-reach), value * Math.exp(reach)];
  };
  const rootMeanSquare = (list: readonly number[]): number =>
    list.length === 0 ? 0 : Math.sqrt(list.reduce((sum, one) => sum + one * one, 0) / list.length);

  it('are Fieller’s for small errors (E. C. Fieller, J. R. Stat. Soc. B 16:175, 1954)', () => {
    const found = logRatio(quantity(2, 0.02), quantity(4, 0.03));
    const fieller = fiellerInterval({
      numerator: 2,
      denominator: 4,
      numeratorVariance: 0.04 ** 2,
      denominatorVariance: 0.12 ** 2,
      covariance: 0,
      criticalValue: 1.959964,
    });
    if (fieller.kind !== 'bounded') throw new Error(fieller.kind);
    expect(found.ci95[0]! / fieller.lower).toBeCloseTo(1, 2);
    expect(found.ci95[1]! / fieller.upper).toBeCloseTo(1, 2);
  });

  it('hold 95 % of true ratios of skewed quantities that err in common too (simulated)', () => {
    const random = createRandom('log ratio');
    const draws = Array.from({ length: 32 }, () => 0.1 * random.normal());
    const runs = 4000;
    let held = 0;
    let width = 0;
    for (let run = 0; run < runs; run += 1) {
      const common = 0.1 * random.normal();
      const seen = (value: number, relativeSe: number): Positive =>
        quantity(value * Math.exp(common + relativeSe * random.normal()), relativeSe, draws);
      const { ci95 } = logRatio(seen(3, 0.2), seen(1, 0.1));
      if (ci95[0]! < 3 && ci95[1]! > 3) held += 1;
      width += Math.log(ci95[1]! / ci95[0]!) / runs;
    }
    // three standard errors of 95 % of 4,000: 1.0 %
    expect(held / runs).toBeGreaterThan(0.94);
    expect(held / runs).toBeLessThan(0.96);
    // nothing of the common error is in the width
    expect(width).toBeCloseTo(2 * 1.96 * Math.hypot(0.2, 0.1), 2);
  });

  it('of replicates shrink, unless these scatter', () => {
    const single = quantity(1, 0.1);
    expect(meanOf([single, single, single, single]).above).toBeCloseTo(single.above! / 2, 10);
    const scattered = meanOf([quantity(0.5, 0.1), quantity(1.5, 0.1)]);
    expect(scattered.above).toBeCloseTo(1.959964 * 0.5, 5);
  });
});

describe('molar amounts of sample', () => {
  it('constants are compared at equal ones', () => {
    const [equal] = compare(withAmounts(2.6e-3, 2.7e-3));
    expect(equal).toMatchObject({ rate_basis: 'rate constant', reason: null });
    expect(equal!.rate_ratio!.value).toBeCloseTo(3, 6);
  });

  it('else initial rates per mole, with the uncertainty of the amounts', () => {
    const [half] = compare(withAmounts(2e-3, 4e-3));
    expect(half!.rate_basis).toBe('initial rate per mole');
    // three times as fast with twice as much
    expect(half!.rate_ratio!.value).toBeCloseTo(1.5, 6);
    expect(half!.reason).toMatch(/per mole/);
    const [vague] = compare(withAmounts(2e-3, 4e-3, 0.4e-3));
    expect(vague!.rate_ratio!.value).toBeCloseTo(1.5, 6);
    expect(vague!.rate_ratio!.se! / vague!.rate_ratio!.value).toBeCloseTo(Math.hypot(0.1, 0.01, 0.01), 3);
  });

  it('unknown ones are taken as equal, and that is said', () => {
    const [unknown] = compare(usualVials(3, [turning()]));
    expect(unknown).toMatchObject({ rate_basis: 'rate constant' });
    expect(unknown!.reason).toMatch(/does not tell the molar amounts/);
  });

  it('curves of different shape are compared by their beginning', () => {
    const fit: Partial<Fit> = { ...firstOrderFit(quick), model: 'consecutive' };
    expect(compare(usualVials(3, [turning({ fit })]))[0]!.rate_basis).toBe('initial rate');
  });
});
