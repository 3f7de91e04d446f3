import { describe, expect, it } from 'vitest';
import { straightLine } from '../../src/numeric/straight-line.ts';
import { theilSen } from '../../src/numeric/theil-sen.ts';

describe('theilSen', () => {
  it('is Sen’s own example (1968; printed by scipy)', () => {
    const line = theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93)!;
    expect(line.slope).toBe(4);
    expect(line.interval[0]).toBeCloseTo(3.71, 2);
    expect(line.interval[1]).toBeCloseTo(4.38, 2);
  });
  it('has no slope without spread in x', () => {
    expect(theilSen([1, 1], [2, 3])).toBeNull();
  });
});

describe('straightLine', () => {
  it('is the fluorescein example of Miller & Miller (data from memory)', () => {
    const line = straightLine([0, 2, 4, 6, 8, 10, 12], [2.1, 5.0, 9.0, 12.6, 17.3, 21.0, 24.7])!;
    expect(line.slope).toBeCloseTo(1.9304, 4);
    expect(line.intercept).toBeCloseTo(1.5179, 4);
    expect(line.residualSd).toBeCloseTo(0.43285, 5);
  });
  it('has no line without spread in x', () => {
    expect(straightLine([1, 1], [0, 1])).toBeNull();
  });
});
