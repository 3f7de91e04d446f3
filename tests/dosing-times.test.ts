import { describe, expect, it } from 'vitest';
import { dosingTimes, withDosingError } from '../src/dosing-times.ts';
import type { Fit } from '../src/model/fit.ts';
import { UserError } from '../src/errors.ts';
import type { Measurement } from '../src/model/measurement.ts';
import type { Reaction } from '../src/model/reaction.ts';
import type { Run } from '../src/model/run.ts';

const empty = [0.6, 0.6, 0.58] as const;
const orange = [0.6, 0.25, 0.01] as const;
const green = [0.08, 0.16, 0.12] as const;
const timeRunS = Array.from({ length: 12 }, (_, frame) => frame * 60);

type Look = (frame: number) => readonly [number, number, number];

/** The parts of a run and its measurement that the search looks at. */
function bench(vials: readonly { readonly addedRunS: number | null; readonly look: Look }[]): [Run, Measurement] {
  const regions = vials.map((_, index) => `A${index + 1}`);
  const run = {
    file: 'bench/run.yaml',
    vials: vials.map(({ addedRunS }, index) => ({ region: regions[index]!, label: `vial ${index + 1}`, addedRunS })),
  } as unknown as Run;
  const measurement = {
    frames: { timeRunS },
    vials: vials.map(({ look }, index) => ({
      id: regions[index]!,
      red: timeRunS.map((_, frame) => look(frame)[0]),
      green: timeRunS.map((_, frame) => look(frame)[1]),
      blue: timeRunS.map((_, frame) => look(frame)[2]),
    })),
  } as unknown as Measurement;
  return [run, measurement];
}
const reaction = (startColour: string): Reaction => ({ startColour }) as Reaction;
const filledAt =
  (first: number): Look =>
  (frame) =>
    frame < first ? empty : orange;

describe('dosingTimes', () => {
  it('leaves given times alone, whatever the film shows, and then says nothing', () => {
    const [run, measurement] = bench([{ addedRunS: 20, look: filledAt(4) }]);
    expect(dosingTimes(run, measurement, reaction('orange'))).toEqual({
      addedRunS: [20],
      addedRunU: [0],
      unseen: [false],
      assumptions: [],
    });
  });

  it('reads times left out from the film and tells their uncertainty', () => {
    const [run, measurement] = bench([
      { addedRunS: 0, look: filledAt(0) },
      { addedRunS: null, look: filledAt(4) },
    ]);
    const { addedRunS, addedRunU, assumptions } = dosingTimes(run, measurement, reaction('orange'));
    expect(addedRunS).toEqual([0, 210]);
    expect(addedRunU).toEqual([0, 60 / Math.sqrt(12)]);
    // A time anywhere in a gap of 60 s: 60 / sqrt(12).
    expect(assumptions).toEqual([expect.stringContaining('A2 at 210 \u00b1 17 s')]);
  });

  it('takes a vial that is orange from the start as dosed at 0, and says so', () => {
    const [run, measurement] = bench([{ addedRunS: null, look: filledAt(0) }]);
    const { addedRunS, unseen, assumptions } = dosingTimes(run, measurement, reaction('orange'));
    expect(addedRunS).toEqual([0]);
    expect(unseen).toEqual([true]);
    expect(assumptions).toEqual([
      expect.stringMatching(
        /^A1 held reagent already.*dosed before the film began.*no upper bound.*Give added_run_s \(negative/,
      ),
    ]);
  });

  it('asks for the time where the film cannot tell: already green, or a reagent without a known look', () => {
    const [run, measurement] = bench([
      { addedRunS: 0, look: filledAt(0) },
      { addedRunS: null, look: () => green },
    ]);
    expect(() => dosingTimes(run, measurement, reaction('orange'))).toThrow(UserError);
    expect(() => dosingTimes(run, measurement, reaction('orange'))).toThrow(
      /bench\/run\.yaml[\s\S]*vials\[1\]\.added_run_s/,
    );
    const [other, seen] = bench([{ addedRunS: null, look: filledAt(4) }]);
    expect(() => dosingTimes(other, seen, reaction('nearly colourless'))).toThrow(/not known to the program/);
  });
});

describe('withDosingError', () => {
  it('widens onset, half-time, induction and rates by the dosing\u2019s own uncertainty', () => {
    const time = { value: 600, se: 30, ci95: [540, null], censored: 'none' } as const;
    const fit = {
      onsetS: time,
      halfTimeS: { ...time, ci95: [550, 650] },
      inductionS: null,
      rateConstant: { value: 1e-3, se: 1e-5, ci95: [0.97e-3, null], unit: '1/s' },
      initialRate: { value: 5e-4, se: 1e-5, ci95: [4.8e-4, 5.2e-4] },
    } as unknown as Fit;
    const wider = withDosingError(fit, 40);
    expect(wider.onsetS).toMatchObject({ value: 600, se: 50, censored: 'none' });
    expect(wider.onsetS!.ci95[0]).toBeCloseTo(600 - Math.hypot(60, 78.4), 9);
    expect(wider.onsetS!.ci95[1]).toBeNull();
    expect(wider.halfTimeS!.ci95[1]).toBeCloseTo(600 + Math.hypot(50, 78.4), 9);
    expect(wider.inductionS).toBeNull();
    // ln 2 of 40 s in 600 s: 4.62 % of a rate
    const share = (Math.LN2 * 40) / 600;
    expect(wider.rateConstant).toMatchObject({ value: 1e-3, unit: '1/s' });
    expect(wider.rateConstant!.se).toBeCloseTo(Math.hypot(1e-5, share * 1e-3), 12);
    expect(wider.rateConstant!.ci95[0]).toBeCloseTo(1e-3 - Math.hypot(0.03e-3, 1.96 * share * 1e-3), 12);
    expect(wider.rateConstant!.ci95[1]).toBeNull();
    expect(wider.initialRate!.ci95[1]).toBeCloseTo(5e-4 + Math.hypot(2e-5, 1.96 * share * 5e-4), 12);
    const still = { value: 0, se: null, ci95: [0, 1e-7] } as const;
    expect(withDosingError({ ...fit, initialRate: still }, 40).initialRate).toEqual(still);
    expect(withDosingError(fit, 0)).toBe(fit);
    // dosed before the film began at an unknown time: each is a lower bound
    const open = withDosingError(fit, 0, true);
    expect(open.halfTimeS).toMatchObject({ value: 600, se: null, ci95: [550, null] });
    expect(open.onsetS!.ci95).toEqual([540, null]);
    expect(open.initialRate).toEqual({ value: 5e-4, se: null, ci95: [null, null] });
    expect(open.rateConstant).toMatchObject({ value: 1e-3, se: null, ci95: [null, null] });
  });

  it('by what a clock that is off by u does to the constant of a first-order course', () => {
    // Least squares of 1 - exp(-k t) to a course that began u later, by golden section; no part of the program.
    const [k, u] = [1e-3, 25];
    const times = Array.from({ length: 400 }, (_, at) => at * 20);
    const misfit = (tried: number): number =>
      times.reduce((sum, t) => sum + (Math.exp(-tried * t) - Math.exp(-k * Math.max(0, t - u))) ** 2, 0);
    let [low, high] = [0.5 * k, 1.5 * k];
    const golden = (Math.sqrt(5) - 1) / 2;
    while (high - low > 1e-9) {
      const [first, second] = [high - golden * (high - low), low + golden * (high - low)];
      if (misfit(first) < misfit(second)) high = second;
      else low = first;
    }
    expect((1 - (low + high) / 2 / k) / (k * u)).toBeGreaterThan(0.85);
    expect((1 - (low + high) / 2 / k) / (k * u)).toBeLessThan(1.15);
  });
});
