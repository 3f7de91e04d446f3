import { describe, expect, it } from 'vitest';
import { driftOfMixture } from '../../src/judge/mixture.ts';
import { readVials } from '../../src/judge/read-vials.ts';
import { syntheticRack } from './synthetic.ts';

/** A mixture of extent 0.5 that moves by `change` over the run. */
function drift(change: number, noise = 0, frames = 121): ReturnType<typeof driftOfMixture> {
  const durationS = (frames - 1) * 60;
  const course = (timeS: number): number => 0.5 + (change * timeS) / durationS;
  const input = syntheticRack({ vials: [{ role: 'mixture', extent: 0.5, course }], durationS, noise });
  return driftOfMixture(readVials(input, durationS)[0]!);
}

describe('the drift of a mixture', () => {
  it('is its change from the first frame to the last, and more than 0.02 (chosen) is not constant, up or down', () => {
    expect(drift(0.03)!.change).toBeCloseTo(0.03, 3);
    expect(drift(-0.03)!.change).toBeCloseTo(-0.03, 3);
    expect([drift(0.019), drift(-0.019)].map((one) => one!.constant)).toEqual([true, true]);
    expect([drift(0.021), drift(-0.021)].map((one) => one!.constant)).toEqual([false, false]);
  });

  it('has room for its own noise, and no more than that', () => {
    expect(drift(0.03, 0.02)!.constant).toBe(true);
    expect(drift(0.12, 0.02)!.constant).toBe(false);
  });

  it('is unknown with fewer than six frames', () => {
    expect(drift(0.1, 0, 5)).toBeNull();
    expect(drift(0.1, 0, 6)!.change).toBeGreaterThan(0.05);
  });
});
