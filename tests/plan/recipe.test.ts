import { describe, expect, it } from 'vitest';
import { reagentFacts, sulfuricAcidDensity } from '../../src/plan/recipe.ts';
import { extentOfLevel, levelOfExtent, traceRate } from '../../src/plan/trace.ts';
import { doseMaterial } from '../../src/plan/vial-dose.ts';
import { warmerC } from '../../src/plan/outlook.ts';
import { esterDelayS, warmthFactor } from '../../src/plan/rates.ts';
import { breachesOf, codesFor, placeVials } from '../../src/plan/place-vials.ts';
import { smallBench } from './small-bench.ts';

describe('recipes, by hand', () => {
  // g / (g/mol) x 2 / 11 mL. Molar masses as tabulated: 294.185, 297.998 (dihydrate), 252.065 g/mol.
  it.each([
    ['K2Cr2O7', 0.1, 61.805],
    ['Na2Cr2O7·2H2O', 0.1, 61.014],
    ['(NH4)2Cr2O7', 0.1, 72.132],
  ])('%s: %s g in 10 mL water and 1 mL acid is %s mmol/L Cr(VI)', (salt, saltG, mmolL) => {
    const facts = reagentFacts({ salt, saltG, waterMl: 10, acidMl: 1, acidPercent: 96 }, 0.5);
    expect(facts.chromiumMolL * 1000).toBeCloseTo(mmolL, 1);
    expect(facts.chromiumMolPerVial * 1e6).toBeCloseTo(mmolL / 2, 1);
  });

  // Densities (handbook, from memory) 1.836, 1.395, 1.139 g/mL; 98.07 g/mol; 1 mL in 11 mL.
  // 1.836 x 0.96 / 98.07 / 0.011 = 1.634; 1.395 x 0.50 / 98.07 / 0.011 = 0.6466; 1.139 x 0.20 / 98.07 / 0.011 = 0.2112
  it.each([
    [96, 1.634],
    [50, 0.6466],
    [20, 0.2112],
  ])('1 mL of %s %% acid in 11 mL is %s mol/L', (acidPercent, molL) => {
    const facts = reagentFacts({ salt: 'K2Cr2O7', saltG: 0.1, waterMl: 10, acidMl: 1, acidPercent }, 0.5);
    expect(facts.acidMolL).toBeCloseTo(molL, 3);
  });

  // The nine of them, by hand for another bottle: 0.250 g in 20 mL water and 2.5 mL acid, 0.4 mL a vial.
  // Cr(VI): 0.250 g x 2 / M / 22.5 mL; M 294.185, 297.998, 252.065 g/mol: 75.538, 74.571, 88.159 mmol/L; x 0.4 mL = 30.215, 29.828, 35.263 umol.
  // Acid: 2.5 mL x density x share / 98.07 g/mol / 22.5 mL: 1.836 x 0.96: 1.9970; 1.395 x 0.50: 0.7903; 1.139 x 0.20: 0.2581 mol/L.
  const salts = [
    ['K2Cr2O7', 75.538, 30.215],
    ['Na2Cr2O7.2H2O', 74.571, 29.828],
    ['(NH4)2Cr2O7', 88.159, 35.263],
  ] as const;
  const acids = [
    [96, 1.997],
    [50, 0.7903],
    [20, 0.2581],
  ] as const;
  it.each(salts.flatMap((salt) => acids.map((acid) => [...salt, ...acid] as const)))(
    '%s: %s mmol/L Cr(VI), %s umol a vial, with %s %% acid %s mol/L',
    (salt, mmolL, micromol, acidPercent, molL) => {
      const facts = reagentFacts({ salt, saltG: 0.25, waterMl: 20, acidMl: 2.5, acidPercent }, 0.4);
      expect(Math.abs(facts.chromiumMolL * 1000 - mmolL)).toBeLessThan(0.005 * mmolL * 0.1);
      expect(Math.abs(facts.chromiumMolPerVial * 1e6 - micromol)).toBeLessThan(0.0005 * micromol);
      expect(facts.acidMolL).toBeCloseTo(molL, 3);
      expect(facts.working.join()).toContain(`${mmolL.toFixed(1)} mmol/L`);
      expect(facts.working.join()).toContain(`${molL.toFixed(2)} mol/L H2SO4`);
      expect(facts.working.join()).toContain('IUPAC standard atomic weights');
    },
  );

  it('interpolates the acid table between its entries', () => {
    expect(sulfuricAcidDensity(45)).toBeCloseTo((1.303 + 1.395) / 2, 6);
  });

  it('finds what uses up the reagent: 0.88 mol % 1-butanol, 1.76 % 2-butanol in 0.25 mL tert-butanol (references)', () => {
    const reagent = reagentFacts(smallBench.reagent, 0.5);
    const sample = { name: 'lot', role: 'sample', substance: 'tert-butanol', sampleMl: 0.25 } as const;
    const by = (impurity: string) =>
      doseMaterial(sample, { ...smallBench, level: { molPercent: 1, impurity } }, reagent).exhaustingMolPercent!;
    expect(by('1-butanol')).toBeCloseTo(0.88, 2);
    expect(by('2-butanol')).toBeCloseTo(1.76, 2);
  });

  it('counts drops by their mass, not as 0.05 mL', () => {
    const reagent = reagentFacts(smallBench.reagent, 0.5);
    const dosed = doseMaterial(
      { name: 'lot', role: 'sample', substance: 'tert-butanol', drops: 2, dropMg: 14 },
      smallBench,
      reagent,
    );
    expect(dosed.sampleMl).toBeCloseTo(0.028 / 0.78, 6);
    expect(dosed.sampleMol! * 1e6).toBeCloseTo(28000 / 74.123, 0);
  });

  // 0.5 mL of reagent weighs about 0.54 g: 0.1 mL of 1-butanol is 13 % w/w, above the 7.4 % that water takes up.
  it.each([
    ['1-butanol', 0.1, 'two'],
    ['1-butanol', 0.03, 'one'],
    ['1-butanol', 0.05, 'doubtful'],
    ['2-butanol', 0.1, 'doubtful'],
    ['tert-butanol', 0.5, 'one'],
  ] as const)('%s, %s mL: layers %s', (substance, sampleMl, layers) => {
    const reagent = reagentFacts(smallBench.reagent, 0.5);
    expect(doseMaterial({ name: 'x', role: 'positive', substance, sampleMl }, smallBench, reagent).layers).toBe(layers);
  });
});

describe('rates', () => {
  it('has k35/k25 = 1.69 at 40 kJ/mol (Hassan et al. 2011), and its inverse', () => {
    expect(warmthFactor(25, 35, 40)).toBeCloseTo(1.69, 2);
    expect(warmerC(25, warmthFactor(25, 35, 40), 40)).toBeCloseTo(35, 6);
  });

  it('puts the ester of the demo near ten minutes: half k k t^2 reaches the margin', () => {
    expect(esterDelayS(0.05, Math.LN2 / 1.1e-3, 25, 1.7)).toBeCloseTo(Math.sqrt(0.1 / (1.1e-3 * 1.1e-4 * 1.7)), 3);
  });

  it('makes 2 mol % of 2-butanol the burst of the demo: 0.18 in the end', () => {
    const trace = { exhaustingMolPercent: 11, rate: traceRate(1.9e-3, 30.9e-6, 437e-6, 2) };
    expect(trace.rate).toBeCloseTo(2.0e-4, 5);
    expect(extentOfLevel(2, trace, 1e6)).toBeCloseTo(2 / 11, 6);
    expect(extentOfLevel(22, trace, 1e6)).toBeCloseTo(1, 6);
    for (const level of [0.5, 11, 20]) {
      expect(levelOfExtent(extentOfLevel(level, trace, 9000), trace, 9000)).toBeCloseTo(level, 6);
    }
  });
});

describe('places', () => {
  const rack = { rows: 2, columns: 8 };
  const vials = [
    { material: 0, role: 'blank', volatile: false },
    ...[0, 1, 2].map(() => ({ material: 1, role: 'negative', volatile: false })),
    { material: 2, role: 'positive', volatile: true },
    ...[3, 4, 5, 6].flatMap((material) => [0, 1].map(() => ({ material, role: 'sample', volatile: false }))),
  ];

  it('finds an arrangement without breach, the same for the same seed, another for another', () => {
    const placed = placeVials(vials, rack, 'a');
    expect(breachesOf(placed, 8)).toBe(0);
    expect(placeVials(vials, rack, 'a')).toEqual(placed);
    expect(placeVials(vials, rack, 'b')).not.toEqual(placed);
    const volatile = placed.find((vial) => vial.volatile)!;
    expect([0, 7]).toContain(volatile.column);
    const blank = placed.find(({ role }) => role === 'blank')!;
    expect(Math.abs(blank.column - volatile.column)).toBeLessThanOrEqual(1);
    expect(new Set(placed.map(({ row, column }) => `${row} ${column}`)).size).toBe(vials.length);
  });

  it('counts like vials side by side and a volatile one in the middle', () => {
    const at = (material: number, column: number, volatile = false) => ({
      material,
      role: 'sample',
      volatile,
      row: 0,
      column,
    });
    expect(breachesOf([at(0, 0), at(0, 1)], 8)).toBe(1);
    expect(breachesOf([at(0, 3, true)], 8)).toBe(2);
  });

  it('gives codes without repeats or look-alikes', () => {
    const codes = codesFor(200, 'a');
    expect(new Set(codes).size).toBe(200);
    expect(codes.join('')).not.toMatch(/[01OIQSZ2B8G5D]/);
  });
});
