import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticRack, SyntheticVial } from './synthetic.ts';

type Course = (timeS: number) => number;
type Colour = readonly [number, number, number];

const frames = Array.from({ length: 121 }, (_, frame) => frame);
const movedAtS = 3600;
const after = (timeS: number): boolean => timeS >= movedAtS;
/** Orange to green, as in tests/light/runs.ts; blue is too dark in the orange to tell of brightness. */
const ofExtent = (extent: number): Colour => [0.55 - 0.45 * extent, 0.25 - 0.03 * extent, 0.01 + 0.1 * extent];

function colours(seed: string, extent: Course, factor: Course): NonNullable<SyntheticVial['colours']> {
  const random = createRandom(seed);
  const drawn = frames.map((frame) =>
    ofExtent(extent(60 * frame)).map((value) => value * factor(60 * frame) * (1 + 0.003 * random.normal())),
  );
  const column = (channel: number): number[] => drawn.map((rgb) => rgb[channel]!);
  return { red: column(0), green: column(1), blue: column(2) };
}

/** A rack whose colours follow the true courses; the sample's look is changed by `factor`, and its extent read as `read`. */
function rack(sample: Partial<SyntheticVial>, factor: Course = () => 1, truth: Course = () => 0): SyntheticRack {
  return {
    vials: usualVials(4, [{ role: 'sample', ...sample }]).map((vial) => {
      const own = vial.region === 'S1';
      const extent = own ? truth : (vial.course ?? (() => 0));
      return { ...vial, colours: { ...colours(vial.region!, extent, own ? factor : () => 1), ...vial.colours } };
    }),
  };
}

const judged = (from: SyntheticRack): ReturnType<typeof judgeRun> => judgeRun(syntheticRack(from));
const flagged = ({ vialFlags }: ReturnType<typeof judgeRun>): (number | null)[][] =>
  vialFlags.map((flags) => flags.filter(({ code }) => code === 'vial-moved').map((flag) => flag.from_run_s));
const none = Array.from({ length: 8 }, () => []);
const onlySample = [...none.slice(1), [movedAtS]];

const darker: Course = (timeS) => (after(timeS) ? 0.8 : 1);
/** What a brightness step can look like on the extent scale. */
const stepTo =
  (extent: number): Course =>
  (timeS) =>
    after(timeS) ? extent : 0;

describe('a vial moved by itself in mid-run', () => {
  it('is flagged with the moment, and its step of brightness does not pass as a reaction', () => {
    const found = judged(rack({ course: stepTo(0.2) }, darker));
    expect(flagged(found)).toEqual(onlySample);
    expect(found.samples[0]).toMatchObject({ outcome: 'undecided', bound: null, as_expected: null });
    expect(found.samples[0]!.reason).toMatch(
      /^S1 became 20 % darker.*at 1 h of the run's clock.*consistent with the vial having been moved or turned, not with reaction\. Read with what came after, the sample would have reacted; read before it, it would have resisted\.$/,
    );
    expect(found.checks.find(({ code }) => code === 'vial-moved')).toMatchObject({ status: 'warn' });
  });

  it('keeps an outcome that is the same with and without what came after', () => {
    const still = judged(rack({ course: stepTo(0.004) }, darker)).samples[0]!;
    expect(still.outcome).toBe('resisted');
    expect(still.reason).toMatch(/read before that, the outcome is the same/);
    const turned: Course = firstOrder(1 / 300, 0.5);
    const burst = { course: (timeS: number) => turned(timeS) + stepTo(0.1)(timeS), fit: firstOrderFit(1 / 300, 0.5) };
    expect(judged(rack(burst, darker, turned)).samples[0]!.outcome).toBe('reacted');
  });

  it('reads it before the step from the frames before alone', () => {
    // Turned to 0.5 before the step and read as 0.02 after it.
    const turned: Course = firstOrder(1 / 300, 0.5);
    const fallen: Course = (timeS) => (after(timeS) ? 0.02 : turned(timeS));
    const brighter: Course = (timeS) => (after(timeS) ? 1.25 : 1);
    const found = judged(rack({ course: fallen, fit: firstOrderFit(1 / 300, 0.5) }, brighter, turned)).samples[0]!;
    expect(found.outcome).toBe('undecided');
    expect(found.reason).toMatch(/^S1 became 2[456] % brighter in all colours alike between two frames at 1 h/);
    expect(found.reason).toMatch(/the sample would have resisted; read before it, it would have reacted\.$/);
  });

  it('stays undecided for its own reason', () => {
    const near = judged(rack({ course: (timeS) => (after(timeS) ? 0.05 : 0) }, darker)).samples[0]!;
    expect(near.outcome).toBe('undecided');
    expect(near.reason).not.toMatch(/read before/);
  });

  it('is undecided when too little was seen before, and untouched by a move after the reading time', () => {
    const early: Course = (timeS) => (timeS >= 360 ? 0.8 : 1);
    expect(judged(rack({ course: stepTo(0.2) }, early)).samples[0]!.outcome).toBe('undecided');
    const late: Course = (timeS) => (timeS >= 6900 ? 0.8 : 1);
    const found = judged(rack({ course: (timeS) => (timeS >= 6900 ? 0.2 : 0) }, late));
    expect(flagged(found).at(-1)).toEqual([6900]);
    expect(found.samples[0]!.outcome).toBe('resisted');
  });

  it('is flagged by a jump of its meniscus, which alone changes no outcome', () => {
    const meniscusY = frames.map((frame) => (after(60 * frame) ? 112 : 104));
    const found = judged(rack({ colours: { meniscusY } }));
    expect(flagged(found)).toEqual(onlySample);
    expect(found.checks.find(({ code }) => code === 'vial-moved')!.message).toMatch(/meniscus 8 pixels lower/);
    expect(found.samples[0]!.outcome).toBe('resisted');
    const lifted = judged(rack({ colours: { meniscusY: meniscusY.map((y) => 220 - y) } }));
    expect(flagged(lifted)).toEqual(onlySample);
    expect(lifted.checks.find(({ code }) => code === 'vial-moved')!.message).toMatch(/meniscus 8 pixels higher/);
  });
});

describe('what is no move', () => {
  it.each<[string, Course]>([
    ['a burst from one frame to the next', stepTo(0.4)],
    ['a small one', stepTo(0.1)],
    ['a burst over minutes', (timeS) => (after(timeS) ? firstOrder(1 / 120, 0.4)(timeS - movedAtS) : 0)],
    ['a slow reaction', firstOrder(1 / 3000)],
  ])('%s', (_, truth) => {
    const found = judged(rack({ course: truth }, () => 1, truth));
    expect(flagged(found)).toEqual(none);
    expect(found.samples[0]!.outcome).toBe('reacted');
    expect(found.checks.find(({ code }) => code === 'vial-moved')!.status).toBe('pass');
  });

  it('a step of the light on all vials, a slow fading, a hand that comes and goes, or a step that an event tells of', () => {
    const all = rack({});
    const light = {
      vials: all.vials.map((vial) => ({ ...vial, colours: colours(vial.region!, vial.course ?? (() => 0), darker) })),
    };
    expect(flagged(judged(light))).toEqual(none);
    expect(flagged(judged(rack({}, (timeS) => 1 - timeS / 20000)))).toEqual(none);
    expect(flagged(judged(rack({}, (timeS) => (timeS >= 3600 && timeS < 3720 ? 0.7 : 1))))).toEqual(none);
    const told = { ...rack({}, darker), events: [{ atRunS: 3590, what: 'turned', region: 'S1' }] };
    expect(flagged(judged(told))).toEqual(none);
  });
});
