import { describe, expect, it } from 'vitest';
import { inversePrediction } from '../../src/numeric/inverse-prediction.ts';
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

describe('inversePrediction', () => {
  it('is the example of Graybill & Iyer, p. 431', () => {
    const x = [96, 98, 100, 102, 104, 106, 108, 110];
    const y = [95.71, 98.16, 99.52, 102.09, 103.79, 106.18, 108.14, 110.21];
    const found = inversePrediction({ x, y, y0: 104 })!;
    expect(found.value).toBeCloseTo(103.995, 3);
    if (found.exact.kind !== 'bounded') throw new Error(`kind ${found.exact.kind}`);
    expect(found.exact.lower).toBeCloseTo(103.4, 1);
    expect(found.exact.upper).toBeCloseTo(104.6, 1);
  });
  it('is the fluorescein example of Miller & Miller (data from memory)', () => {
    const x = [0, 2, 4, 6, 8, 10, 12];
    const y = [2.1, 5.0, 9.0, 12.6, 17.3, 21.0, 24.7];
    const line = straightLine(x, y)!;
    expect(line.slope).toBeCloseTo(1.9304, 4);
    expect(line.intercept).toBeCloseTo(1.5179, 4);
    expect(line.residualSd).toBeCloseTo(0.43285, 5);
    const found = inversePrediction({ x, y, y0: 13.5 })!;
    expect(found.value).toBeCloseTo(6.207, 3);
    expect(found.approximate[1] - found.value).toBeCloseTo(0.616, 3);
  });
  it('says when the slope is too uncertain for any bounded interval', () => {
    const found = inversePrediction({ x: [0, 1, 2, 3], y: [0, 1, -1, 0.5], y0: 2 })!;
    expect(found.exact.kind).not.toBe('bounded');
  });
  it('needs three points and a slope', () => {
    expect(inversePrediction({ x: [0, 1], y: [0, 1], y0: 0.5 })).toBeNull();
    expect(inversePrediction({ x: [0, 1, 2], y: [1, 1, 1], y0: 1 })).toBeNull();
    expect(straightLine([1, 1], [0, 1])).toBeNull();
  });
});
