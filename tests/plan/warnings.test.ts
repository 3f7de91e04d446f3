import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { linearRgbToOklab, oklabDistance } from '../../src/colour/index.ts';
import { loadReaction, reactionsFolder } from '../../src/files/index.ts';
import type { Bench, Material } from '../../src/plan/bench.ts';
import { makePlan } from '../../src/plan/make-plan.ts';
import { smallBench } from './small-bench.ts';

const reaction = await loadReaction(path.join(reactionsFolder, 'acid-dichromate.json'));
const planned = (bench: Bench) =>
  makePlan({
    bench,
    reaction,
    rehearsals: 0,
    colourDistance: (first, second) => oklabDistance(linearRgbToOklab(first), linearRgbToOklab(second)),
  });
const said = (bench: Bench): Readonly<Record<string, string>> =>
  Object.fromEntries(planned(bench).warnings.map(({ code, message }) => [code, message]));

const clean: readonly Material[] = smallBench.materials.map((one) =>
  one.role === 'sample' ? { ...one, vials: 2 } : one,
);
const good: Bench = { ...smallBench, rack: { rows: 3, columns: 7 }, materials: clean };
const without = (role: Material['role']): Bench => ({
  ...good,
  materials: clean.filter((material) => material.role !== role),
});
const having = (material: Partial<Material> & { readonly substance: string }, more: Partial<Bench> = {}): Bench => ({
  ...good,
  ...more,
  materials: [...clean, { name: 'x', role: 'sample', vials: 2, drops: 2, dropMg: 16, ...material }],
});

describe('a plan warns', () => {
  it('of nothing but cold bottles and gas where all is as it should be', () => {
    expect(Object.keys(said({ ...good, temperatureC: 35 }))).toEqual(['gas']);
  });

  it.each<[string, Bench, string]>([
    ['no-positive', without('positive'), 'nothing shows that the reagent works'],
    ['no-negative', without('negative'), 'nothing to compare the samples with'],
    [
      'one-negative',
      { ...good, materials: clean.map((one) => (one.role === 'negative' ? { ...one, vials: 1 } : one)) },
      'no sample can be called resisted',
    ],
    [
      'two-negatives',
      { ...good, materials: clean.map((one) => (one.role === 'negative' ? { ...one, vials: 2 } : one)) },
      '7.7 vial spreads',
    ],
    ['no-blank', without('blank'), 'reagent with an inert diluent'],
    [
      'blank-undiluted',
      { ...good, materials: clean.map((one) => (one.role === 'blank' ? { name: 'reagent', role: 'blank' } : one)) },
      'No blank holds an inert diluent',
    ],
    ['no-replicate', smallBench, 'No replicate of lot 1, lot 2'],
    // 4 drops of 16 mg in 0.54 g of reagent: 11 % w/w of 1-butanol, 7.4 % dissolve.
    ['two-layers', having({ substance: '1-butanol', drops: 4 }), 'x: two layers (11 % w/w of 7.4 % soluble'],
    ['near-two-layers', having({ substance: '1-butanol', drops: 2, dropMg: 18 }), 'x: may part into two layers'],
    ['ester', having({ substance: 'ethyl acetate' }), 'x: an ester: acid splits it'],
    [
      'vapour',
      having({ substance: 'acetaldehyde' }, { temperatureC: 4 }),
      'x: an aldehyde: its vapour can turn the vials',
    ],
    ['gas', good, 'leave headspace'],
    ['freezes', { ...good, temperatureC: 22 }, 'freezes near 25.5 C: warm bottle and pipette to about 31 C'],
    ['sealed', { ...good, sealed: true }, 'Sealed vials build pressure'],
    ['near-boiling', { ...good, temperatureC: 75 }, 'boils near 82.4 C, too close to 75 C'],
    [
      'drop-unweighed',
      having({ substance: 'acetone', drops: undefined, dropMg: undefined, sampleMl: 0.04 }),
      'a drop is not 0.05 mL',
    ],
    ['layers-unknown', having({ substance: 'something else' }), 'x: whether it mixes is not known'],
    ['amount-unknown', having({ substance: 'something else' }), 'x: moles not known'],
  ])('%s', (code, bench, words) => {
    expect(said(bench)[code]).toContain(words);
  });

  it('tells how late an ester turns, sooner when warm', () => {
    const minutes = (temperatureC: number): number =>
      Number(
        /after about (\d+) min/.exec(said(having({ substance: 'ethyl acetate' }, { temperatureC }))['ester']!)![1],
      );
    expect(minutes(40)).toBeLessThan(minutes(20));
  });
});

describe('a blind plan', () => {
  const plan = planned(having({ substance: 'ethyl acetate', name: 'cut 02' }, { blind: true }));

  it('puts bottle codes in place of sample names, one code a sample', () => {
    const samples = plan.vials.filter(({ role }) => role === 'sample');
    expect(samples.every(({ shown }) => /^bottle [A-Z0-9]{2}$/.test(shown))).toBe(true);
    expect(new Set(samples.map(({ shown }) => shown)).size).toBe(7);
    expect(JSON.stringify(plan.predictions)).not.toMatch(/lot \d|cut 02/);
  });

  it('keeps from the sheet what would tell a sample, and sends the doser to the keeper of the key', () => {
    const sheet = [...plan.sheetWarnings, ...plan.working].join('\n');
    expect(sheet).not.toMatch(/lot \d|cut 02|ester|88\.1/);
    expect(sheet).toContain('ask its keeper before dosing');
    expect(plan.warnings.map(({ message }) => message).join()).toContain('cut 02: an ester');
  });

  it('practises with samples that are all alike', () => {
    const courses = plan.practice.scenario.vials
      .filter(({ role }) => role === 'sample')
      .map(({ kinetics }) => kinetics);
    expect(new Set(courses.map((course) => JSON.stringify(course))).size).toBe(1);
  });
});
