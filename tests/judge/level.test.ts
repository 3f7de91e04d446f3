import { describe, expect, it } from 'vitest';
import type { VialAmounts } from '../../src/model/dose-facts.ts';
import type { Dose } from '../../src/model/run.ts';
import type { ResultSample } from '../../src/model/result.ts';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticVial } from './synthetic.ts';

const quick = 1 / 300;
const burst = (size: number, more: Partial<SyntheticVial> = {}): SyntheticVial => ({
  role: 'sample',
  course: firstOrder(quick, size),
  fit: firstOrderFit(quick, size),
  ...more,
});
// The common recipe: 30.9 umol Cr(VI) on 2.631 mmol tert-butanol (references.md, own arithmetic).
const amounts: Partial<VialAmounts> = {
  reagentMol: { value: 30.9e-6, u: null },
  sampleMol: { value: 2.631e-3, u: null },
};
const samplesOf = (vials: readonly SyntheticVial[]): readonly ResultSample[] =>
  judgeRun(syntheticRack({ vials })).samples;

describe('level by electrons', () => {
  const [half, none, gone, slow] = samplesOf(
    usualVials(4, [
      burst(0.5, { amounts }),
      { role: 'sample', amounts },
      burst(1, { amounts }),
      burst(0.8, { amounts, course: firstOrder(1e-4, 0.8), fit: firstOrderFit(1e-4, 0.8) }),
    ]),
  );

  it('counts three electrons a chromium', () => {
    // Half of 30.9 umol x 3 = 46.35 ueq on 2.631 mmol: 17617 ueq/mol = 0.44 mol % with 4 electrons, half of the 0.88 % that uses up all.
    expect(half!.level).toMatchObject({ basis: 'electrons', electrons: [4, 2], only_more_than: false });
    expect(half!.level!.value! / 17617).toBeCloseTo(1, 1);
    expect(half!.level!.as).toMatch(
      /apparent.*1-butanol \(4 electrons\) 0.44 mol %, as 2-butanol \(2 electrons\) 0.88 mol %/,
    );
    expect(half!.level!.ci95[0]!).toBeLessThan(half!.level!.value!);
    expect(half!.level!.ci95[1]!).toBeGreaterThan(half!.level!.value!);
  });

  it('says not seen below the limit, with the limit', () => {
    expect(none!.level).toMatchObject({ value: null, only_more_than: false });
    expect(none!.level!.limit).toBeGreaterThan(0);
  });

  it('says only more than when the reagent is used up, or before the plateau', () => {
    expect(gone!.level!.only_more_than).toBe(true);
    expect(gone!.level!.ci95[1]).toBeNull();
    expect(gone!.level!.value!).toBeLessThan(35234);
    expect(slow!.level!.only_more_than).toBe(true);
  });

  it('never counts more than was seen used up, however large the fitted amplitude', () => {
    // both curves end at 0.7: 0.7 of 35234 micro-equivalents per mol
    const course = firstOrder(quick, 0.7);
    const overdrawn = { amounts, course, fit: firstOrderFit(quick, 0.85) };
    const [over] = samplesOf(usualVials(4, [burst(0.7, overdrawn)]));
    expect(over!.level!.value! / (0.7 * 35234)).toBeCloseTo(1, 1);
    const [all] = samplesOf(usualVials(4, [burst(1, { amounts, fit: firstOrderFit(quick, 1.05) })]));
    expect(all!.level!.only_more_than).toBe(true);
    expect(all!.level!.value!).toBeLessThan(35234);
  });

  it('is wider in a film whose coder holds blocks', () => {
    const note = {
      code: 'film-coarsely-coded',
      severity: 'info',
      message: 'held',
      fromRunS: null,
      toRunS: null,
      region: null,
    } as const;
    const vials = usualVials(4, [burst(0.5, { amounts })]);
    const coded = judgeRun(syntheticRack({ vials, measurement: { notes: [note] } }));
    const plain = judgeRun(syntheticRack({ vials }));
    const width = ({ samples }: typeof plain): number => samples[0]!.level!.ci95[1]! - samples[0]!.level!.ci95[0]!;
    expect(width(coded)).toBeGreaterThan(1.03 * width(plain));
    // a region of 60 x 100 pixels: 0.5 / root(6000) = 0.0065 more in the reading, and nothing in the outcome
    const last = plain.atRead.length - 1;
    expect(coded.atRead[last]!.se! ** 2 - plain.atRead[last]!.se! ** 2).toBeCloseTo(0.25 / 6000, 8);
    expect(coded.samples[0]!.bound).toEqual(plain.samples[0]!.bound);
  });

  it('widens by the stated uncertainty of the dose', () => {
    const rough = { ...amounts, sampleMol: { value: 2.631e-3, u: 0.5e-3 } };
    const [sample] = samplesOf(usualVials(4, [burst(0.5, { amounts: rough })]));
    const width = (level: ResultSample['level']): number => level!.ci95[1]! - level!.ci95[0]!;
    expect(width(sample!.level)).toBeGreaterThan(2 * width(half!.level));
  });

  it('says nothing without the dose', () => {
    expect(samplesOf(usualVials(4, [burst(0.5)]))[0]!.level).toBeNull();
  });
});

describe('level by standards', () => {
  const standard = (level: number, offset: number): SyntheticVial =>
    burst(level, { role: 'standard', levelMolPercent: level, offset, label: `${level} %` });
  const standards = [standard(0.1, 0.004), standard(0.2, -0.003), standard(0.4, 0.002), standard(0.6, -0.003)];
  const rack = (samples: readonly SyntheticVial[]): readonly ResultSample[] =>
    samplesOf([...usualVials(4, samples), ...standards.map((vial, i) => ({ ...vial, region: `L${i}` }))]);

  it('reads the level off the line', () => {
    const [sample] = rack([burst(0.3, { amounts })]);
    expect(sample!.level).toMatchObject({ basis: 'standards', only_more_than: false, electrons: null });
    expect(sample!.level!.value).toBeCloseTo(0.3, 1);
    expect(sample!.level!.ci95[0]!).toBeLessThan(0.3);
    expect(sample!.level!.ci95[1]!).toBeGreaterThan(0.3);
  });

  it('gives a limit below and only more than above', () => {
    const [none, much] = rack([{ role: 'sample' }, burst(0.85)]);
    expect(none!.level!.value).toBeNull();
    expect(none!.level!.limit).toBeGreaterThan(0.005);
    expect(none!.level!.limit).toBeLessThan(0.1);
    expect(much!.level).toMatchObject({ value: 0.6, only_more_than: true });
  });
});

describe('a salt whose chromium cannot be counted', () => {
  it('is said, as no level can be', () => {
    const said = (more: Partial<SyntheticVial>): string => {
      const rack = syntheticRack({ vials: usualVials(3, [{ role: 'sample', ...more }]) });
      const reagent = { salt: 'KMnO4' };
      return judgeRun({ ...rack, run: { ...rack.run, dose: { reagent } as Dose } }).assumptions.join(' ');
    };
    expect(said({})).toContain('The salt "KMnO4" is not the formula of a chromium salt');
    expect(said({ amounts })).not.toContain('The salt');
  });
});

describe('margin in mol %', () => {
  it('is turned into extent by the dose, as a two-electron impurity', () => {
    const vials = usualVials(4, [{ role: 'sample', amounts }]);
    const output = judgeRun(syntheticRack({ vials, margin: { unit: 'mol-percent', value: 0.1 } }));
    // 0.001 x 2.631 mmol x 2 / (30.9 umol x 3)
    expect(output.marginExtent).toBeCloseTo(0.05676, 4);
    expect(output.assumptions.join(' ')).toMatch(/two-electron/);
  });

  it('needs the dose', () => {
    const rack = syntheticRack({
      vials: usualVials(4, [{ role: 'sample' }]),
      margin: { unit: 'mol-percent', value: 0.1 },
    });
    expect(() => judgeRun(rack)).toThrow(/margin_mol_percent/);
  });
});
