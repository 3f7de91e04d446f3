import { describe, expect, it } from 'vitest';
import { describeMotion } from '../../src/motion/describe-motion.ts';
import { createRandom } from '../../src/numeric/random.ts';

const random = createRandom('motion');
const times = Array.from({ length: 40 }, (_, index) => index * 20);
const jitter = (of: (index: number) => number, size = 0.03): number[] =>
  times.map((_, index) => of(index) + size * random.normal());
const still = { dx: jitter(() => 0), dy: jitter(() => 0), rotation: times.map(() => 0), scale: times.map(() => 1) };

describe('describeMotion', () => {
  it('is silent about a still camera', () => expect(describeMotion(times, still)).toEqual([]));

  it('names a knock once, with its time and size', () => {
    const notes = describeMotion(times, {
      ...still,
      dx: jitter((index) => (index >= 20 ? 5 : 0)),
      dy: jitter((index) => (index >= 20 ? -3 : 0)),
    });
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatchObject({ code: 'camera-moved', fromRunS: 380, toRunS: 400 });
    expect(notes[0]!.message).toContain('5.8 px');
  });

  it('tells creeping and breathing', () => {
    expect(describeMotion(times, { ...still, dx: jitter((index) => index / 10) }).map(({ code }) => code)).toEqual([
      'camera-crept',
    ]);
    const breathing = describeMotion(times, {
      ...still,
      scale: times.map((_, index) => (index > 9 && index < 15 ? 1.004 : 1)),
    });
    expect(breathing.map(({ code, fromRunS, toRunS }) => [code, fromRunS, toRunS])).toEqual([
      ['focus-breathing', 200, 280],
    ]);
  });

  it('copes with unknown frames and with none', () => {
    expect(describeMotion(times, { ...still, dx: times.map(() => null) })).toEqual([]);
    expect(describeMotion([], { dx: [], dy: [], rotation: [], scale: [] })).toEqual([]);
  });
});
