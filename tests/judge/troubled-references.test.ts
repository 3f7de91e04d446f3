import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticVial } from './synthetic.ts';

const column = (value: number): number[] => Array.from({ length: 121 }, () => value);
const layered: Partial<SyntheticVial> = { colours: { halvesDeltaE: column(0.1) } };
const cloudy: Partial<SyntheticVial> = { flags: (frame) => (frame > 60 ? 'off-path' : '') };

/** The usual rack with some vials changed; N2 is off by 0.2 wherever it is changed, so that counting it would be seen. */
function judged(changes: Readonly<Record<string, Partial<SyntheticVial>>>, negatives = 3): ReturnType<typeof judgeRun> {
  const samples: SyntheticVial[] = [
    { role: 'sample' },
    { role: 'sample', course: firstOrder(1 / 300, 0.4), fit: firstOrderFit(1 / 300, 0.4) },
  ];
  const vials = usualVials(negatives, samples).map((vial) => ({ ...vial, ...changes[vial.region ?? ''] }));
  return judgeRun(syntheticRack({ vials }));
}
const outcomes = ({ samples }: ReturnType<typeof judgeRun>): string[] => samples.map(({ outcome }) => outcome);
const messageOf = ({ checks }: ReturnType<typeof judgeRun>, code: string): string =>
  checks.find((check) => check.code === code)!.message;

describe.each([
  { code: 'two-layers', trouble: layered, reason: /^Two liquid layers/ },
  { code: 'off-path', trouble: cloudy, reason: /^Off the colour path/ },
])('a reference with $code at the reading time', ({ code, trouble, reason }) => {
  it('is no yardstick when it is a negative: the others decide, as if it were not there', () => {
    const found = judged({ N2: { ...trouble, offset: 0.2 } });
    expect(outcomes(found)).toEqual(['resisted', 'reacted']);
    expect(found.betweenVialSd).toMatchObject({ df: 1 });
    expect(found.betweenVialSd!.value).toBeLessThan(0.01);
    expect(messageOf(found, code)).toMatch(/N2.*N2 is left out as reference\./);
    const record = found.references.find(({ region }) => region === 'N2')!;
    expect(record.as_expected).toBeNull();
    expect(record.reason).toMatch(reason);
    // Counted, the same offset would have failed the controls.
    const counted = judged({ N2: { offset: 0.2 } });
    expect(outcomes(counted)).toEqual(['undecided', 'undecided']);
  });

  it('leaves a single sound negative no spread, and none at all no yardstick', () => {
    const one = judged({ N1: trouble }, 2);
    expect(one.samples[0]!.reason).toMatch(/add negative references/);
    const none = judged({ N1: trouble, N2: trouble }, 2);
    expect(outcomes(none)).toEqual(['undecided', 'undecided']);
    expect(none.samples[1]!.reason).toMatch(/^No negative reference can serve as yardstick.*N1.*N2/);
  });

  it('is no yardstick for the negatives when it is the blank', () => {
    const found = judged({ B: { ...trouble, offset: -0.3 } });
    expect(outcomes(found)).toEqual(['resisted', 'reacted']);
    expect(found.checks.find((check) => check.code === 'blank-still')!.status).toBe('warn');
    expect(messageOf(found, code)).toMatch(/B is left out as reference/);
  });
});

describe('a positive reference in trouble', () => {
  it('does not show that the reagent works when it never was one solution of the reaction', () => {
    const found = judged({ P1: layered, P2: layered });
    expect(outcomes(found)).toEqual(['undecided', 'reacted']);
    expect(found.samples[0]!.reason).toMatch(/No positive reference shows that the reagent works.*two liquid layers/);
    expect(found.checks.find(({ code }) => code === 'positives-turned')!.status).toBe('fail');
    const oneLeft = judged({ P1: layered });
    expect(outcomes(oneLeft)).toEqual(['resisted', 'reacted']);
    expect(oneLeft.checks.find(({ code }) => code === 'positives-turned')!.status).toBe('warn');
  });

  it('still counts when it had turned before its colour left the path', () => {
    const found = judged({ P1: cloudy, P2: cloudy });
    expect(outcomes(found)).toEqual(['resisted', 'reacted']);
    expect(found.checks.find(({ code }) => code === 'positives-turned')!.status).toBe('pass');
  });
});
