import { describe, expect, it } from 'vitest';
import type { Dose, Quantity, Run, Vial } from '../../src/model/run.ts';
import { amountsOf, reagentAmount, sampleAmount } from '../../src/reaction/amounts.ts';
import {
  chromiumPerFormula,
  electronsOfAlcohol,
  exhaustingMolPercent,
  molarMassGMol,
  parseFormula,
} from '../../src/reaction/stoichiometry.ts';

const exact = (value: number): Quantity => ({ value, u: null });

const dose = (salt: string, saltG: number): Dose => ({
  reagent: { salt, saltG: exact(saltG), waterMl: exact(10), acidMl: exact(1), acidPercent: exact(96) },
  reagentMl: exact(0.5),
  sampleMl: exact(0.25),
  sampleG: null,
});

const vial = (changes: Partial<Vial> = {}): Vial => ({
  region: 'A1',
  label: 'tert-butanol',
  role: 'sample',
  addedRunS: 0,
  expect: null,
  group: null,
  levelMolPercent: null,
  extent: null,
  identity: null,
  sampleMl: null,
  sampleG: null,
  densityGMl: exact(0.78),
  molarMassGMol: exact(74.12),
  ...changes,
});

describe('formulas', () => {
  // Molar masses as printed on reagent bottles (CRC Handbook values, from memory), two decimals.
  it.each([
    ['K2Cr2O7', 294.18],
    ['Na2Cr2O7·2H2O', 298.0],
    ['Na2Cr2O7', 261.97],
    ['(NH4)2Cr2O7', 252.06],
    ['CrO3', 99.99],
    ['KMnO4', 158.03],
    ['C4H10O', 74.12],
    ['Li2CrO4', 129.87],
    ['CaCrO4', 156.07],
    ['MgSO4', 120.36],
    ['H2SO4', 98.07],
    ['HCl', 36.46],
  ])('%s weighs %d g/mol', (formula, expected) => {
    expect(Math.abs(molarMassGMol(formula)! - expected)).toBeLessThan(0.01);
  });

  it('reads the hydrate dot in every common spelling', () => {
    const expected = molarMassGMol('Na2Cr2O7·2H2O');
    expect(molarMassGMol('Na2Cr2O7.2H2O')).toBe(expected);
    expect(molarMassGMol('Na2Cr2O7 * 2 H2O')).toBe(expected);
  });

  it('counts chromium', () => {
    expect(chromiumPerFormula('K2Cr2O7')).toBe(2);
    expect(chromiumPerFormula('CrO3')).toBe(1);
    expect(chromiumPerFormula('KMnO4')).toBeNull();
  });

  it.each(['', 'dichromate', 'K2Cr2O7)', '(K2Cr2O7', 'Xx2O', 'K2 + Cr', '()2', '2'])('refuses %j', (text) => {
    expect(parseFormula(text)).toBeNull();
    expect(molarMassGMol(text)).toBeNull();
  });
});

describe('electrons', () => {
  // Both balanced equations: electrons given by the alcohol equal the three each chromium takes.
  it('balance with three per chromium', () => {
    expect(3 * electronsOfAlcohol.primary).toBe(2 * 2 * 3);
    expect(3 * electronsOfAlcohol.secondary).toBe(1 * 2 * 3);
  });
});

describe('amounts', () => {
  // references.md, own arithmetic: 0.1 g K2Cr2O7, 10 mL water, 1 mL acid, 0.5 mL a vial is about 31 umol Cr(VI), used up by
  // 0.88 mol % 1-butanol (4 electrons) or 1.76 mol % 2-butanol (2 electrons) in 0.25 mL tert-butanol.
  it('the common recipe holds 31 umol Cr(VI) a vial', () => {
    const reagent = reagentAmount(dose('K2Cr2O7', 0.1))!;
    expect(reagent.value * 1e6).toBeCloseTo(30.9, 1);
    expect(reagent.u).toBeNull();
    const sample = sampleAmount(vial(), dose('K2Cr2O7', 0.1))!;
    expect(sample.value * 1e3).toBeCloseTo(2.631, 3);
    expect(exhaustingMolPercent(reagent.value, 3, sample.value, 4)).toBeCloseTo(0.88, 2);
    expect(exhaustingMolPercent(reagent.value, 3, sample.value, 2)).toBeCloseTo(1.76, 2);
  });

  it('equal moles of the three salts give equal chromium', () => {
    const amounts = [
      ['K2Cr2O7', 0.29418],
      ['Na2Cr2O7·2H2O', 0.298],
      ['(NH4)2Cr2O7', 0.25206],
    ].map(([salt, grams]) => reagentAmount(dose(salt as string, grams as number))!.value);
    for (const amount of amounts) expect(amount * 1e6).toBeCloseTo(90.91, 1);
  });

  it('propagates stated uncertainties, and only those', () => {
    const stated: Dose = {
      ...dose('K2Cr2O7', 0.1),
      reagentMl: { value: 0.5, u: 0.01 },
      reagent: { ...dose('K2Cr2O7', 0.1).reagent, saltG: { value: 0.1, u: 0.001 }, waterMl: { value: 10, u: 0.11 } },
    };
    const reagent = reagentAmount(stated)!;
    // Relative: 2 % pipette, 1 % balance, 1 % volume (0.11 of 11 mL): root of 6e-4.
    expect(reagent.u! / reagent.value).toBeCloseTo(Math.sqrt(6e-4), 10);
  });

  it("takes a vial's own amount before the dose's, by mass before volume", () => {
    const own = vial({ sampleG: { value: 0.07412, u: 0.0007412 } });
    const amount = sampleAmount(own, dose('K2Cr2O7', 0.1))!;
    expect(amount.value).toBeCloseTo(1e-3, 12);
    expect(amount.u).toBeCloseTo(1e-5, 12);
  });

  it('keeps the uncertainty of a zero amount', () => {
    const none = sampleAmount(vial({ sampleG: { value: 0, u: 0.007412 } }), null)!;
    expect(none.value).toBe(0);
    expect(none.u).toBeCloseTo(1e-4, 12);
  });

  it('says null where the run file does not tell', () => {
    const base = { dose: dose('K2Cr2O7', 0.1) };
    const run = {
      ...base,
      vials: [
        vial({ role: 'blank' }),
        vial({ role: 'mixture', extent: 0.5 }),
        vial({ densityGMl: null }),
        vial({ molarMassGMol: null }),
        vial(),
      ],
    } as unknown as Run;
    const amounts = amountsOf(run);
    expect(amounts.map((entry) => entry.sampleMol !== null)).toEqual([false, false, false, false, true]);
    expect(amounts.map((entry) => entry.reagentMol !== null)).toEqual([true, false, true, true, true]);
    expect(amountsOf({ ...run, dose: null }).every((entry) => entry.reagentMol === null)).toBe(true);
    expect(reagentAmount(dose('no salt', 0.1))).toBeNull();
  });
});
