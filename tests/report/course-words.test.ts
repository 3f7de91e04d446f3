import { describe, expect, it } from 'vitest';
import type { ModelName } from '../../src/model/fit.ts';
import type { Result, ResultRatio } from '../../src/model/result.ts';
import { courseWords, nearestRateWords } from '../../src/report/course-words.ts';
import { windowWords } from '../../src/report/window-words.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

/** The example's sample of vials B1 and B2, these with models and last extents as given. */
async function sampleOf(courses: readonly (readonly [ModelName | null, number])[]) {
  const { result } = await exampleAnalysis({ frames: 13 });
  const sample = result.samples.find(({ regions }) => regions.length === 2 && regions[0] === 'B1')!;
  const vials = result.vials.map((vial) => {
    const course = courses[sample.regions.indexOf(vial.region)];
    if (course === undefined) return vial;
    const [model, value] = course;
    const last = { value, se: 0.01, ci95: [value - 0.02, value + 0.02] as const };
    return { ...vial, fit: { ...vial.fit, model, amplitude: null }, extent: { at_read: last, last } };
  });
  return { sample, result: { ...result, vials } satisfies Result };
}

describe('how a sample went', () => {
  it.each([
    ['first-order', 0.98, 'from the start, all the way'],
    ['first-order', 0.4, 'from the start'],
    ['burst-background', 0.95, 'burst, then slow'],
    ['consecutive', 0.97, 'delayed, all the way'],
    ['first-order-induction', 0.5, 'delayed'],
    ['zero-order', 0.1, 'slow and straight'],
    ['none', 0.002, 'no change'],
  ] as const)('%s up to %f: %s', async (model, last, words) => {
    const both = await sampleOf([
      [model, last],
      [model, last],
    ]);
    expect(courseWords(both.sample, both.result)).toBe(words);
  });

  it('says of a first-order course that ends early that it does, where its amplitude is known to', async () => {
    const { sample, result } = await sampleOf([
      ['first-order', 0.7],
      ['first-order', 0.7],
    ]);
    const amplitude = (upper: number | null) => ({ value: 0.76, se: 0.02, ci95: [0.72, upper] as const });
    const withUpper = (upper: number | null): Result => ({
      ...result,
      vials: result.vials.map((vial) => ({ ...vial, fit: { ...vial.fit, amplitude: amplitude(upper) } })),
    });
    expect(courseWords(sample, withUpper(0.8))).toBe('part of the way, then level');
    expect(courseWords(sample, withUpper(null))).toBe('from the start');
    expect(courseWords(sample, withUpper(1.1))).toBe('from the start');
  });

  it('tells replicates that went differently apart, and says nothing of a vial without a model', async () => {
    const apart = await sampleOf([
      ['none', 0],
      ['burst-background', 0.1],
    ]);
    expect(courseWords(apart.sample, apart.result)).toBe('B1 no change; B2 burst, then slow');
    const one = await sampleOf([
      [null, 0.3],
      ['zero-order', 0.2],
    ]);
    expect(courseWords(one.sample, one.result)).toBe('slow and straight');
    const neither = await sampleOf([
      [null, 0.3],
      [null, 0.3],
    ]);
    expect(courseWords(neither.sample, neither.result)).toBe('');
  });
});

describe('the reference nearest in rate', () => {
  const ratio = (value: number, ci95: ResultRatio['ci95'], bounded = true): ResultRatio => ({
    ...{ value, se: 0.01, ci95, bounded },
  });
  const against = (reference: string, rate: ResultRatio | null) => ({
    reference,
    rate_ratio: rate,
    half_time_ratio: null,
  });

  it('is the one whose rate differs by the smallest factor', async () => {
    const { sample, result } = await sampleOf([]);
    const [first, second] = result.vials.filter(({ role }) => role === 'positive');
    const told = {
      ...sample,
      against: [against(first!.region, ratio(0.4, [0.36, 0.44])), against(second!.region, ratio(2.2, [2, 2.4]))],
    };
    expect(nearestRateWords(told, result)).toBe(`rate 2.00 to 2.40 × ${second!.label}`);
  });

  it('is not named where a ratio is only a limit, unbounded or unknown', async () => {
    const { sample, result } = await sampleOf([]);
    const limits = [ratio(0, [0, 0.02]), ratio(0.3, [0.1, null], false), null];
    expect(nearestRateWords({ ...sample, against: limits.map((one) => against('A2', one)) }, result)).toBe('');
  });
});

describe('until when a test was telling', () => {
  it('is said with its times, or that there was no such time', async () => {
    const { result } = await exampleAnalysis({ frames: 13 });
    const window = { from_s: 700, to_s: 3700, exploratory: true } as const;
    expect(windowWords({ ...result, reading_window: window })).toContain('Reading window 12 min to 1 h 02 min: ');
    expect(windowWords({ ...result, reading_window: null })).toContain('No reading window');
  });

  it('is not said without references of both kinds', async () => {
    const { result } = await exampleAnalysis({ frames: 13 });
    const references = result.references.filter(({ role }) => role !== 'negative');
    expect(windowWords({ ...result, references, reading_window: null })).toBe('');
  });
});
