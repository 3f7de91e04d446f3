import { median as libraryMedian, medianAbsoluteDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { mean, rootMeanSquare } from '../../src/numeric/mean.ts';
import { median, medianOfAll, medianOfFew, upperMedian } from '../../src/numeric/median.ts';
import { normalQuantile } from '../../src/numeric/normal.ts';
import { orderStatistic } from '../../src/numeric/order-statistic.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { robustSd } from '../../src/numeric/robust-sd.ts';

const random = createRandom('medians');
const samples = Array.from({ length: 40 }, (_, at) =>
  Array.from({ length: at + 1 }, () => Math.round(20 * random.normal()) / 4 + 0),
);

describe('medians', () => {
  it('agree with simple-statistics for 1 to 40 values, many of them alike', () => {
    for (const values of samples) {
      const before = [...values];
      const expected = libraryMedian(before);
      expect(median(values)).toBe(expected);
      expect(medianOfAll(values)).toBe(expected);
      if (values.length <= 16) expect(medianOfFew([...values, 1e9], values.length)).toBe(expected);
      expect(values).toEqual(before);
    }
  });

  it('leave out what is missing, and are unknown of none', () => {
    expect(median([null, 4, NaN, 1, null, Infinity, 2])).toBe(2);
    expect(median([null, NaN])).toBeNull();
    expect(medianOfAll([])).toBeNaN();
    expect(medianOfFew([1], 0)).toBeNaN();
  });

  it('take the upper of two middle ones where one of the values is asked for', () => {
    expect([upperMedian([7]), upperMedian([4, 1]), upperMedian([9, 1, 5]), upperMedian([9, 1, 5, 6])]).toEqual([
      7, 4, 5, 6,
    ]);
    expect(upperMedian([])).toBeNaN();
  });
});

describe('robustSd', () => {
  it('is the scaled median absolute deviation of simple-statistics, with the scale of the normal quartile', () => {
    for (const values of samples.slice(1)) {
      expect(robustSd(values)! * normalQuantile(0.75)).toBeCloseTo(medianAbsoluteDeviation(values), 3);
    }
  });

  it('is unknown below two values, and leaves out what is not finite', () => {
    expect([robustSd([]), robustSd([3]), robustSd([3, NaN])]).toEqual([null, null, null]);
    expect(robustSd([1, 2, 4, Infinity])).toBeCloseTo(1.4826, 12);
  });
});

describe('means and order statistics', () => {
  it('are those of the definitions', () => {
    expect(mean([1, 2, 6])).toBe(3);
    expect(mean([])).toBeNaN();
    expect(rootMeanSquare([3, -4])).toBeCloseTo(Math.sqrt(12.5), 12);
    expect(rootMeanSquare([])).toBeNull();
    expect([0, 0.5, 0.9, 1].map((share) => orderStatistic([5, 3, 1, 2, 4], share))).toEqual([1, 3, 5, 5]);
    expect(orderStatistic([], 0.5)).toBeNaN();
  });
});
