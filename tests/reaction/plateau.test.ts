import { describe, expect, it } from 'vitest';
import { encode } from '../../src/reaction/encoded.ts';
import { findPlateau } from '../../src/reaction/plateau.ts';

const times = Array.from({ length: 200 }, (_, frame) => frame * 60);
const endS = times.at(-1)!;
/** Beer and Lambert: logarithms of red and green in step with extent (and with ageing), blue rising from nothing. */
const colourAt = (extent: number, aged = 0): Colour => {
  const linear = [0.75 * Math.exp(-1.5 * extent - aged), 0.22 * Math.exp(0.1 * extent - 0.3 * aged)] as const;
  return [encode(linear[0]), encode(linear[1]), encode(0.12 * Math.exp(-6 * (1 - extent)))];
};
type Colour = readonly [number, number, number];
const start = colourAt(0);
const course = (extentAt: (time: number) => number, agedAtEnd = 0): readonly Colour[] =>
  times.map((time) => colourAt(extentAt(time), (agedAtEnd * time) / endS));

describe('the beginning of a plateau', () => {
  it('is where less than half a percent of the way is left', () => {
    const plateau = findPlateau(
      times,
      course((t) => 1 - Math.exp(-t / 900)),
      start,
    )!;
    // exp(-t/900) = 0.004 at 4970 s
    expect(times[plateau.from]!).toBeGreaterThan(4500);
    expect(times[plateau.from]!).toBeLessThan(5500);
    expect(plateau.remaining).toBeLessThan(0.005);
  });

  // What is missing of an exponential approach at k t is exp(-k t); the last stretch lies a little before the end.
  it.each([3, 4, 5, 6])('foresees what is missing at the end of %d time constants', (constants) => {
    const plateau = findPlateau(
      times,
      course((t) => 1 - Math.exp((-constants * t) / endS)),
      start,
    )!;
    const missing = Math.exp((-constants * times[Math.round((plateau.from + plateau.to) / 2)]!) / endS);
    expect(plateau.remaining).toBeGreaterThan(0.5 * missing);
    expect(plateau.remaining).toBeLessThan(2 * missing);
  });

  it('is not reached by a vial still on its way', () => {
    expect(
      findPlateau(
        times,
        course((t) => 1 - Math.exp(-t / 8000)),
        start,
      ),
    ).toBeNull();
  });

  it('is not taken from a slow vial whose last stretch looks like ageing', () => {
    for (const tauS of [9000, 12000, 20000]) {
      expect(
        findPlateau(
          times,
          course((t) => 1 - Math.exp(-t / tauS)),
          start,
        ),
      ).toBeNull();
    }
  });

  it('is seen where written values, not logarithms, come to rest: a picture drawn so', () => {
    const [from, to]: readonly [Colour, Colour] = [
      [0.86, 0.55, 0.08],
      [0.27, 0.47, 0.31],
    ];
    const drawn = times.map((t): Colour => {
      const x = 1 - Math.exp((-5 * t) / endS);
      return [from[0] + x * (to[0] - from[0]), from[1] + x * (to[1] - from[1]), from[2] + x * (to[2] - from[2])];
    });
    expect(findPlateau(times, drawn, from)?.remaining).toBeLessThan(0.05);
  });

  it('is not seen in a vial that did not turn', () => {
    expect(
      findPlateau(
        times,
        course(() => 0.02),
        start,
      ),
    ).toBeNull();
  });

  it('ends before an end colour that ages has moved on', () => {
    const plateau = findPlateau(
      times,
      course((t) => 1 - Math.exp(-t / 600), 0.06),
      start,
    )!;
    expect(times[plateau.to]!).toBeLessThan(6500);
    expect(plateau.remaining).toBeLessThan(0.01);
  });

  it('is there from the start in a vial that had turned before the first frame', () => {
    const plateau = findPlateau(
      times,
      course(() => 1),
      start,
    )!;
    expect(plateau.from).toBe(0);
  });
});
