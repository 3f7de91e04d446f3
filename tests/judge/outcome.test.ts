import { describe, expect, it } from 'vitest';
import { controlsFailed } from '../../src/judge/controls.ts';
import { judgeRun } from '../../src/judge/judge-run.ts';
import type { JudgeOutput } from '../../src/judge/types.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticRack, SyntheticVial } from './synthetic.ts';

const clean: SyntheticVial = { role: 'sample', expect: 'resists', offset: 0.002 };
const dirty: SyntheticVial = {
  role: 'sample',
  expect: 'resists',
  course: firstOrder(1 / 1200),
  fit: firstOrderFit(1 / 1200),
};
const burst = (size: number): SyntheticVial => ({
  role: 'sample',
  course: firstOrder(1 / 300, size),
  fit: firstOrderFit(1 / 300, size),
});

const judge = (rack: SyntheticRack): JudgeOutput => judgeRun(syntheticRack(rack));
const outcomes = (output: JudgeOutput): readonly string[] => output.samples.map(({ outcome }) => outcome);
const status = (output: JudgeOutput, code: string): string | undefined =>
  output.checks.find((check) => check.code === code)?.status;

describe('the usual rack', () => {
  const output = judge({ vials: usualVials(4, [clean, dirty, burst(0.3), burst(0.05)]) });

  it('tells clean, dirty, trace and doubtful apart', () => {
    expect(outcomes(output)).toEqual(['resisted', 'reacted', 'reacted', 'undecided']);
    expect(output.samples.map(({ as_expected }) => as_expected)).toEqual([true, false, null, null]);
  });

  it('keeps bounds on the right side of the margin', () => {
    const [resisted, reacted] = output.samples;
    expect(resisted!.bound).toMatchObject({ side: 'upper', alpha: 0.05 });
    expect(resisted!.bound!.value).toBeLessThan(0.05);
    expect(reacted!.bound).toMatchObject({ side: 'lower', alpha: 0.05 });
    expect(reacted!.bound!.value).toBeGreaterThan(0.05);
    expect(resisted!.within_margin).toBe(true);
    expect(reacted!.within_margin).toBe(false);
  });

  it('gives a reason to each', () => {
    expect(output.samples[0]!.reason).toMatch(/upper bound .* below the margin/);
    expect(output.samples[1]!.reason).toMatch(/lower bound .* above the margin/);
    expect(output.samples[3]!.reason).toMatch(/not far enough from the margin/);
  });

  it('passes its controls', () => {
    expect(controlsFailed(output)).toBe(false);
    expect(output.references.map(({ as_expected }) => as_expected)).toEqual([true, true, true, true, true, true, true]);
    expect(output.betweenVialSd).toMatchObject({ df: 3 });
  });
});

describe('one negative reference', () => {
  const output = judge({ vials: usualVials(1, [clean, dirty, burst(0.07), burst(0.1)]) });

  it('lets nothing resist, and says to add negatives', () => {
    expect(outcomes(output)).toEqual(['undecided', 'reacted', 'undecided', 'undecided']);
    expect(output.samples[0]!.reason).toMatch(/add negative references/);
    expect(output.betweenVialSd).toBeNull();
    expect(status(output, 'between-vial-spread')).toBe('warn');
  });

  it('rests on the history of the rig where there is one', () => {
    const history = { value: 0.006, df: 12, source: 'six runs of this rig' };
    const helped = judge({ vials: usualVials(1, [clean, dirty]), input: { history } });
    expect(outcomes(helped)).toEqual(['resisted', 'reacted']);
    expect(helped.betweenVialSd).toEqual(history);
    const short = judge({ vials: usualVials(1, [clean]), input: { history: { ...history, df: 5 } } });
    expect(outcomes(short)).toEqual(['undecided']);
  });

  it('lets nothing resist even beside replicate samples', () => {
    const replicates = [1, 2, 3, 4].map((i) => ({ ...clean, group: 'lot', offset: 0.001 * i }));
    expect(outcomes(judge({ vials: usualVials(1, replicates) }))).toEqual(['undecided']);
  });
});

describe('failed controls', () => {
  it('dead positives: nothing resists, a clear reaction stands', () => {
    const vials = usualVials(4, [clean, dirty]).map((vial) =>
      vial.role === 'positive' ? { ...vial, course: firstOrder(1e-5), fit: {} } : vial,
    );
    const output = judge({ vials });
    expect(outcomes(output)).toEqual(['undecided', 'reacted']);
    expect(output.samples[0]!.reason).toMatch(/controls failed: P1 and P2/);
    expect(status(output, 'positives-turned')).toBe('fail');
    expect(controlsFailed(output)).toBe(true);
  });

  it('negatives that turn: no yardstick, all undecided', () => {
    const vials = usualVials(3, [clean, dirty]).map((vial) =>
      vial.role === 'negative' ? { ...vial, course: firstOrder(1e-4, 0.4) } : vial,
    );
    const output = judge({ vials });
    expect(outcomes(output)).toEqual(['undecided', 'undecided']);
    expect(output.samples[1]!.reason).toMatch(/no yardstick/);
    expect(status(output, 'negatives-still')).toBe('fail');
    expect(controlsFailed(output)).toBe(true);
  });

  it('a drifting blank: nothing resists', () => {
    const vials = usualVials(4, [clean, dirty]).map((vial) =>
      vial.role === 'blank' ? { ...vial, course: (timeS: number) => -1.5e-5 * timeS } : vial,
    );
    const output = judge({ vials, margin: { unit: 'extent', value: 0.08 } });
    expect(status(output, 'blank-still')).toBe('fail');
    expect(output.samples[0]!.outcome).toBe('undecided');
  });
});

describe('time', () => {
  it('a run that stopped early decides nothing', () => {
    const output = judge({ vials: usualVials(3, [clean, dirty]), durationS: 3600 });
    expect(outcomes(output)).toEqual(['undecided', 'undecided']);
    expect(output.samples[0]!.reason).toMatch(/^stopped early/);
    expect(output.atRead.every((estimate) => estimate === null)).toBe(true);
  });

  it('--until before the reading time does the same', () => {
    const output = judge({ vials: usualVials(3, [clean, dirty]), input: { untilS: 3600 } });
    expect(output.samples[1]!.reason).toMatch(/^stopped early/);
  });

  it('without a declared time the end of the run is read, and said', () => {
    const output = judge({ vials: usualVials(4, [{ ...clean, addedRunS: 120 }, dirty]), readAtS: null });
    expect(output.readAtDeclared).toBe(false);
    expect(output.readAtS).toBe(7080);
    expect(outcomes(output)).toEqual(['resisted', 'reacted']);
    expect(output.assumptions.join(' ')).toMatch(/No reading time was declared/);
  });

  it('a vial taken away before the reading time is undecided, its replicate decides', () => {
    const events = [{ atRunS: 3000, what: 'removed', region: 'S1' }];
    const alone = judge({ vials: usualVials(3, [clean, dirty]), events });
    expect(outcomes(alone)).toEqual(['undecided', 'reacted']);
    expect(alone.samples[0]!.reason).toMatch(/S1 was removed before the reading time/);
    const pair = judge({
      vials: usualVials(4, [
        { ...clean, group: 'lot' },
        { ...clean, group: 'lot' },
      ]),
      events,
    });
    expect(outcomes(pair)).toEqual(['resisted']);
    expect(pair.samples[0]!.reason).toMatch(/Left out: S1 was removed/);
  });
});

describe('margins and scales', () => {
  it('a margin below the errors is not met, and the smallest that could be is named and holds', () => {
    const output = judge({ vials: usualVials(3, [clean]), margin: { unit: 'extent', value: 0.004 } });
    expect(outcomes(output)).toEqual(['undecided']);
    const named = Number(/smallest that could be is (\d\.\d+)/.exec(output.samples[0]!.reason)![1]);
    expect(named).toBeGreaterThan(0.004);
    const still: SyntheticVial = { role: 'sample' };
    const wider = judge({ vials: usualVials(3, [still]), margin: { unit: 'extent', value: named + 0.003 } });
    expect(outcomes(wider)).toEqual(['resisted']);
  });

  it('an unpinned end asks for twice the margin, and says that extents are relative', () => {
    const clear = { ...clean, offset: 0.02 };
    const output = judge({ vials: usualVials(4, [clear, dirty, burst(0.09), clean]), path: { pinnedEnd: false } });
    expect(outcomes(output)).toEqual(['undecided', 'reacted', 'undecided', 'resisted']);
    expect(outcomes(judge({ vials: usualVials(4, [clear]) }))).toEqual(['resisted']);
    expect(output.samples[0]!.reason).toMatch(/relative/);
    expect(output.samples[1]!.reason).toMatch(/relative/);
  });

  it('without a neutral patch large differences stand, small ones do not, and the result says why', () => {
    const output = judge({
      vials: usualVials(4, [clean, dirty, burst(0.09)]),
      light: { basis: 'none', driftRange: null, settings: 'locked' },
    });
    expect(outcomes(output)[1]).toBe('reacted');
    expect(outcomes(output)[2]).toBe('undecided');
    expect(status(output, 'light')).toBe('warn');
    expect(output.assumptions.join(' ')).toMatch(/lamp drift could not be told from reaction/);
  });

  it('without a neutral patch and without locked settings nothing is decided, and the result says what to do', () => {
    const rack = { vials: usualVials(4, [clean, dirty, burst(0.09)]) };
    for (const settings of ['automatic', 'unknown'] as const) {
      const output = judge({ ...rack, light: { basis: 'none', driftRange: null, settings } });
      expect(outcomes(output)).toEqual(['undecided', 'undecided', 'undecided']);
      expect(output.samples[1]!.reason).toMatch(/No neutral patch.*white or grey patch.*"settings": "locked"/);
      expect(status(output, 'light')).toBe('fail');
    }
  });

  it('uneven light over 3 % widens the error of every difference, until nothing resists', () => {
    const rack = { vials: usualVials(4, [clean, dirty]) };
    const even = judge({ ...rack, light: { unevenness: 0.02, uncorrectedUnevenness: 0.02 } });
    const plane = judge({ ...rack, light: { unevenness: 0.09 } });
    const mapped = judge({ ...rack, light: { unevenness: 0.09, uncorrectedUnevenness: 0.06 } });
    const se = (output: typeof even): number => output.samples[0]!.extent_difference!.se!;
    expect(outcomes(even)).toEqual(['resisted', 'reacted']);
    // 0.6 of a third of 9 %, and 0.6 of 6 %.
    expect(Math.sqrt(se(plane) ** 2 - se(even) ** 2)).toBeCloseTo(0.018, 3);
    expect(Math.sqrt(se(mapped) ** 2 - se(even) ** 2)).toBeCloseTo(0.036, 3);
    expect(outcomes(mapped)).toEqual(['undecided', 'reacted']);
    expect(mapped.assumptions.join(' ')).toMatch(/changed by 9 % unevenly.*0\.036/);
  });

  it('two layers and colours off the path leave a vial undecided', () => {
    const layered: SyntheticVial = { ...clean, colours: { halvesDeltaE: Array.from({ length: 121 }, () => 0.12) } };
    const cloudy: SyntheticVial = { ...clean, flags: () => 'off-path' };
    const output = judge({ vials: usualVials(3, [layered, cloudy]) });
    expect(outcomes(output)).toEqual(['undecided', 'undecided']);
    expect(output.samples[0]!.reason).toMatch(/two liquid layers/);
    expect(output.samples[1]!.reason).toMatch(/off the colour path/);
  });

  it('needs a negative reference', () => {
    const output = judge({ vials: usualVials(0, [dirty]) });
    expect(outcomes(output)).toEqual(['undecided']);
    expect(output.samples[0]!.reason).toMatch(/No negative reference/);
    expect(output.samples[0]!.extent_difference).toBeNull();
    expect(output.negativeBand).toBeNull();
  });

  it('replicates that scatter as no still vials do are judged by their own scatter', () => {
    const uneven = [0.02, 0.2, 0.45].map((size) => ({ ...burst(size), group: 'lot' }));
    const output = judge({ vials: usualVials(5, uneven) });
    expect(outcomes(output)).toEqual(['undecided']);
    expect(status(output, 'replicates-agree')).toBe('warn');
  });

  it('of two such vials the reason says what a third one would bring', () => {
    const uneven = [0.5, 0.62].map((size) => ({ ...burst(size), group: 'lot' }));
    const [lot] = judge({ vials: usualVials(5, uneven) }).samples;
    expect(lot!.reason).toMatch(/Its 2 vials differ more than still ones do.*one vial more.*to about 0\.\d/);
    const brought = Number(/to about (0\.\d+)/.exec(lot!.reason)![1]);
    expect(brought).toBeGreaterThan(lot!.bound!.value);
    expect(brought).toBeLessThan(lot!.extent_difference!.value);
  });
});
