import { describe, expect, it } from 'vitest';
import { findPlateau } from '../../src/reaction/plateau.ts';

const start = [0.9, 0.5, 0] as const;
const end = [0.4, 0.55, 0.45] as const;
const times = Array.from({ length: 200 }, (_, frame) => frame * 60);
const course = (extentAt: (time: number) => number, driftPerHour = 0) =>
  times.map((time) => {
    const x = extentAt(time);
    const drift = (driftPerHour * time) / 3600;
    return [0, 1, 2].map((c) => start[c]! + x * (end[c]! - start[c]!) + (c === 2 ? drift : 0)) as unknown as readonly [
      number,
      number,
      number,
    ];
  });

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

  it('is not reached by a vial still on its way', () => {
    expect(
      findPlateau(
        times,
        course((t) => 1 - Math.exp(-t / 6000)),
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
      course((t) => 1 - Math.exp(-t / 600), 0.02),
      start,
    )!;
    expect(times[plateau.to]!).toBeLessThan(6500);
    expect(plateau.ageingPerHour).toBeGreaterThan(0.01);
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
