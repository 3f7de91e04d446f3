import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { firstOrder, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticVial } from './synthetic.ts';

const lots: readonly SyntheticVial[] = [
  { role: 'sample', region: 'S1', offset: 0.002 },
  { role: 'sample', region: 'S2', course: firstOrder(1 / 300, 0.3) },
];
const judged = (samples: readonly SyntheticVial[], scale = 1) =>
  judgeRun(
    syntheticRack({
      vials: usualVials(4, samples).map((vial) => ({
        ...vial,
        course: (timeS: number) => (vial.course ?? (() => 0))(timeS / scale),
      })),
      noise: 0,
      intervalS: 60 * scale,
      durationS: 7200 * scale,
      readAtS: 6600 * scale,
    }),
  );

describe('judgements', () => {
  it('are the same with every time stretched: a clock in other units', () => {
    const [seconds, hours] = [judged(lots), judged(lots, 1 / 3600)];
    expect(hours.samples).toHaveLength(lots.length);
    hours.samples.forEach((sample, i) => {
      expect(sample.outcome).toBe(seconds.samples[i]!.outcome);
      expect(sample.extent_difference!.value).toBeCloseTo(seconds.samples[i]!.extent_difference!.value, 9);
      expect(sample.bound!.value).toBeCloseTo(seconds.samples[i]!.bound!.value, 9);
    });
    expect(hours.readingWindow!.from_s * 3600).toBeCloseTo(seconds.readingWindow!.from_s, 6);
  });

  it('of other samples change by the share of alpha only when one more is in the rack', () => {
    const alone = judged(lots).samples;
    const more = judged([...lots, { role: 'sample', region: 'S3', course: firstOrder(1 / 200) }]).samples;
    expect(alone).toHaveLength(lots.length);
    alone.forEach((sample, i) => {
      expect(more[i]!.extent_difference).toEqual(sample.extent_difference);
      expect(more[i]!.outcome).toBe(sample.outcome);
      expect(more[i]!.against).toEqual(sample.against);
      // the upper bound is for each sample alone; the lower one is shared and can only be the same or more careful
      if (sample.bound!.side === 'upper') expect(more[i]!.bound).toEqual(sample.bound);
      else expect(more[i]!.bound!.value).toBeLessThanOrEqual(sample.bound!.value + 1e-12);
    });
  });
});
