import { describe, expect, it } from 'vitest';
import { marginForReach, widestMarginPixels } from '../../src/motion/crop-margin.ts';
import { contradictedFrames } from '../../src/motion/contradicted-frames.ts';
import { describeLost } from '../../src/motion/describe-lost.ts';
import { lostFrames } from '../../src/motion/lost-frames.ts';
import { registerLook, smallLook } from '../../src/motion/register-looks.ts';
import { drawScene, frame, viewFrame } from './scene.ts';

const scene = drawScene('bench');
const first = smallLook(viewFrame(scene));

describe('registerLook', () => {
  it.each([
    [3, -2],
    [31, 12],
    [-70, 20],
    [100, -60],
  ])('tells a move of %d, %d px within 2 px of a frame of 960', (dx, dy) => {
    const look = smallLook(viewFrame((x, y) => 0.04 + 0.9 * scene(x - dx, y - dy)));
    const found = registerLook(first, look, [], frame.width)!;
    expect(Math.hypot(found.dx - dx, found.dy - dy)).toBeLessThan(2);
  });

  it('does not recognise another bench', () => {
    expect(registerLook(first, smallLook(viewFrame(drawScene('another'))), [], frame.width)).toBeNull();
  });
});

describe('marginForReach', () => {
  it('is the usual one for a usual nudge, holds a larger one with room, and has an end', () => {
    expect(marginForReach(8, 1280)).toBe(14);
    expect(marginForReach(40, 1280)).toBeGreaterThanOrEqual(52);
    expect(marginForReach(40, 1280) % 2).toBe(0);
    expect(marginForReach(500, 1280)).toBe(widestMarginPixels(1280));
  });
});

describe('lostFrames', () => {
  const lost = (values: readonly (number | null)[]): number[] =>
    lostFrames(values).flatMap((one, at) => (one ? [at] : []));

  it('finds them even where most of the run is lost', () => {
    const values = Array.from({ length: 40 }, (_, at) => (at < 8 ? 0.95 : 0.1));
    expect(lost(values)).toEqual(values.flatMap((_, at) => (at < 8 ? [] : [at])));
  });

  it('knows of none where nothing is followed or all is followed as usual', () => {
    expect(lost([null, null, null])).toEqual([]);
    expect(lost([0, 0, 0])).toEqual([]);
    expect(lost([0.5, 0.45, 0.4, 0.5])).toEqual([]);
    expect(lost([])).toEqual([]);
  });
});

describe('describeLost', () => {
  const stretch = { fromRunS: 60, toRunS: 200, frames: 8, toEnd: true, shift: null };
  const said = (one: Partial<typeof stretch> | object): string[] =>
    describeLost([{ ...stretch, ...one }], 64).map(({ message }) => message);

  it('says how far a move was that is too large', () => {
    expect(said({ shift: { dx: 80, dy: -60, rotation: 0, scale: 1 } })).toEqual([
      '8 frames up to the end could not be followed and were left out: the picture moved by about 100 px (80 right, -60 down), too large to follow (64 px at most).',
    ]);
  });

  it('says what it does not know, and nothing of a hand that passes', () => {
    expect(said({})[0]).toMatch(/moved by more than can be followed \(64 px at most\), or something stood/);
    expect(said({ toEnd: false, frames: 2 })).toEqual([]);
  });
});

describe('contradictedFrames', () => {
  const times = Array.from({ length: 12 }, (_, at) => 10 * at);
  const at = (dx: number) => ({ dx, dy: 0, rotation: 0, scale: 1 });
  const wrong = (
    dx: (frame: number) => number,
    looks: readonly (readonly [number, number])[],
    lost = times.map(() => false),
  ) =>
    contradictedFrames(
      times,
      times.map((_, frame) => at(dx(frame))),
      looks.map(([frame, told]) => ({ timeRunS: 10 * frame, shift: at(told) })),
      lost,
      640,
    ).flatMap((one, frame) => (one ? [frame] : []));

  it('takes out the frames of a place that whole pictures do not show', () => {
    expect(
      wrong(
        (frame) => (frame < 6 ? 0 : -2.8),
        [
          [4, 0.3],
          [8, 90],
          [11, 90],
        ],
      ),
    ).toEqual([6, 7, 8, 9, 10, 11]);
  });

  it('goes back to the last picture that agrees where the wrong place is the old one', () => {
    expect(
      wrong(
        () => 0,
        [
          [4, 0.3],
          [8, 93],
          [11, 93],
        ],
      ),
    ).toEqual([5, 6, 7, 8, 9, 10, 11]);
  });

  it('leaves the rest alone where frames were lost anyway, and believes small differences', () => {
    expect(
      wrong(
        () => 0,
        [[8, 90]],
        times.map((_, frame) => frame > 6),
      ),
    ).toEqual([]);
    expect(
      wrong(
        () => 3,
        [
          [4, 2],
          [8, 4.5],
        ],
      ),
    ).toEqual([]);
  });
});
