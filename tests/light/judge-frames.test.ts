import { describe, expect, it } from 'vitest';
import { judgeFrames } from '../../src/light/judge-frames.ts';
import { lostFrames } from '../../src/motion/lost-frames.ts';
import { columns, frames, patchLevel, rack, times } from './runs.ts';

type Three = readonly [number, number, number];
type Light = (at: number) => Three;

function judge(
  light: Light,
  confidence: (at: number) => number | null = () => 0.95,
  covered: (at: number) => boolean = () => false,
): (string | null)[] {
  const { vials } = rack((at, [x]) => (covered(at) && x < 500 ? times(light(at), [0.3, 0.25, 0.2]) : light(at)));
  const patches = [columns('W1', 'white', frames, (at) => times(patchLevel, light(at)))];
  return judgeFrames({
    vials,
    patches,
    cameraLost: lostFrames(Array.from({ length: frames }, (_, at) => confidence(at))),
  });
}
const rejected = (reasons: readonly (string | null)[]): number[] =>
  reasons.flatMap((reason, at) => (reason === null ? [] : [at]));
const steady: Light = () => [1, 1, 1];

describe('judgeFrames', () => {
  it('keeps every frame of a run whose vials react, drift, step and flicker', () => {
    expect(rejected(judge((at) => [at >= 60 ? 1.06 : 1, 1 + 0.0006 * at, at >= 60 ? 0.93 : 1]))).toEqual([]);
    expect(rejected(judge((at) => (at % 2 === 0 ? [1.1, 1.1, 1.1] : [0.9, 0.9, 0.9])))).toEqual([]);
    expect(rejected(judge(steady, () => null))).toEqual([]);
  });

  it('never rejects for a vial, however quickly it turns', () => {
    const vials = Array.from({ length: 4 }, (_, index) =>
      columns(`V${index}`, 'vial', frames, (at) => (at < 50 ? [0.55, 0.25, 0.05] : [0.1, 0.22, 0.12])),
    );
    expect(rejected(judgeFrames({ vials, patches: [], cameraLost: [] }))).toEqual([]);
  });

  it('rejects a hand before some vials, frame by frame', () => {
    const reasons = judge(
      steady,
      () => 0.95,
      (at) => at === 30 || at === 31 || at === 80,
    );
    expect(rejected(reasons)).toEqual([30, 31, 80]);
    expect(reasons[30]).toContain('before 6 of the regions');
  });

  it('rejects a hand in the first frame, but not a first frame of vials that wait for their reagent', () => {
    const first = judge(
      steady,
      () => 0.95,
      (at) => at === 0,
    );
    expect(rejected(first)).toEqual([0]);
    for (const undosed of [1, 2]) {
      const vials = Array.from({ length: 6 }, (_, index) =>
        columns(`V${index}`, 'vial', frames, (at) => (at < undosed ? [0.6, 0.59, 0.56] : [0.55, 0.25, 0.01])),
      );
      const patches = [columns('W1', 'white', frames, () => patchLevel)];
      expect(rejected(judgeFrames({ vials, patches, cameraLost: [] }))).toEqual([]);
    }
  });

  it('rejects hands over the first frames and the last, all of them and no others', () => {
    const hands = [0, 1, 2, 3, frames - 2, frames - 1];
    const vials = rack(steady).vials.map((vial) => ({
      ...vial,
      green: vial.green.map((value, at) => (hands.includes(at) ? 0.3 * value! : value)),
    }));
    const patch = columns('W1', 'white', frames, (at) => (hands.includes(at) ? [0.3, 0.25, 0.2] : patchLevel));
    expect(rejected(judgeFrames({ vials, patches: [patch], cameraLost: [] }))).toEqual(hands);
  });

  it('keeps the frames between two dark stretches, and those of vials that all turn from the first frame on', () => {
    const vials = Array.from({ length: 6 }, (_, index) =>
      columns(`V${index}`, 'vial', frames, (at) => {
        const left = Math.exp(-at / (index < 4 ? 6 : 1e6));
        return [0.1 + 0.45 * left, 0.22 + 0.03 * left, 0.12 - 0.07 * left];
      }),
    );
    const patch = columns('W1', 'white', frames, () => patchLevel);
    expect(rejected(judgeFrames({ vials, patches: [patch], cameraLost: [] }))).toEqual([]);
    const dark = [20, 21, 22, 23, 24, 25, 26, 27, 31, 32, 33, 34, 35, 36, 37];
    const dimmed = (region: (typeof vials)[number]) => ({
      ...region,
      ...Object.fromEntries(
        (['red', 'green', 'blue'] as const).map((channel) => [
          channel,
          region[channel].map((value, at) => (dark.includes(at) ? 0.02 * value! : value)),
        ]),
      ),
    });
    const reasons = judgeFrames({ vials: vials.map(dimmed), patches: [dimmed(patch)], cameraLost: [] });
    expect(rejected(reasons)).toEqual(dark);
    expect(new Set(reasons)).toEqual(new Set([null, 'the light was off']));
  });

  it('rejects darkness, night mode, and hidden anchors, each by its name', () => {
    expect(judge((at) => (at >= 40 && at < 70 ? [0.03, 0.03, 0.03] : [1, 1, 1]))[50]).toBe('the light was off');
    const { vials } = rack(steady);
    const grey = vials.map((vial) => ({
      ...vial,
      red: vial.green.map((value, at) => (at >= 90 ? value : vial.red[at]!)),
      blue: vial.green.map((value, at) => (at >= 90 ? value : vial.blue[at]!)),
    }));
    const night = judgeFrames({ vials: grey, patches: [], cameraLost: [] });
    expect(night[100]).toContain('night mode');
    expect(rejected(night).every((at) => at >= 90)).toBe(true);
    expect(rejected(judge(steady, (at) => (at === 10 ? 0.1 : 0.9)))).toEqual([10]);
  });

  it('rejects a whole run in black and white, not one of faint colours', () => {
    const { vials } = rack(steady);
    const tinted = (tint: number) =>
      vials.map((vial) => ({ ...vial, red: vial.green.map((value) => value! * (1 + tint)), blue: vial.green }));
    const judged = (tint: number) => judgeFrames({ vials: tinted(tint), patches: [], cameraLost: [] });
    expect(new Set(judged(0))).toEqual(new Set(['the picture has no colour (black and white, or a night mode)']));
    expect(rejected(judged(0.03))).toEqual([]);
  });

  it('rejects frames that are out of focus for a while, not a focus that stays another', () => {
    const { vials } = rack(steady);
    const detail = Array.from({ length: frames }, (_, at) => (at === 30 || at === 31 ? 0.02 : at >= 70 ? 0.025 : 0.05));
    const reasons = judgeFrames({ vials, patches: [], cameraLost: [], sharpness: detail });
    expect(rejected(reasons)).toEqual([30, 31]);
    expect(reasons[30]).toBe('the picture was out of focus or misted over');
  });

  it('rejects a frame whose patch alone was covered, and unreadable ones', () => {
    const patch = columns('W1', 'white', frames, (at) => (at === 20 ? [0.3, 0.3, 0.3] : patchLevel));
    expect(judgeFrames({ vials: rack(steady).vials, patches: [patch], cameraLost: [] })[20]).toBe(
      'neutral patch W1 was covered',
    );
    const gone = columns('V1', 'vial', frames, (at) => (at === 5 ? null : [0.5, 0.2, 0.05]));
    expect(rejected(judgeFrames({ vials: [gone], patches: [], cameraLost: [] }))).toEqual([5]);
  });
});
