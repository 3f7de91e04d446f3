import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { ewmaChart, individualsChart } from '../../src/numeric/control-charts.ts';
import { effectiveSampleSize } from '../../src/numeric/effective-sample-size.ts';
import { grubbsTest } from '../../src/numeric/grubbs-test.ts';

const fixture = (name: string): readonly string[] =>
  readFileSync(path.resolve('fixtures/statistics', name), 'utf8').trim().split(/\s+/);

describe('control charts (NIST/SEMATECH e-Handbook)', () => {
  it('6.3.2.4: every value of the EWMA example and its limits', () => {
    const rows = fixture('ewma-nist-6-3-2-4.csv')
      .slice(1)
      .map((line) => line.split(','));
    const observed = rows.slice(1).map((row) => Number(row[1]));
    const chart = ewmaChart(observed, { target: 50, sd: 2.0539, lambda: 0.3 });
    expect(chart.ewma.length).toBe(20);
    chart.ewma.forEach((value, i) => expect(Math.abs(value - Number(rows[i + 1]![2]))).toBeLessThan(0.0101));
    expect(chart.upper).toBeCloseTo(52.5884, 3);
    expect(chart.lower).toBeCloseTo(47.4115, 3);
    expect(chart.outside).toEqual([]);
  });
  it('6.3.2.2: the individuals example', () => {
    const chart = individualsChart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
    expect(chart.meanMovingRange).toBeCloseTo(1.8778, 4);
    expect(Math.abs(chart.upper - 55.8041)).toBeLessThan(0.002);
    expect(Math.abs(chart.lower - 45.8159)).toBeLessThan(0.002);
    expect(chart.outside).toEqual([]);
    expect(individualsChart([1])).toBeNull();
  });
  it('sees a lasting shift that no single value shows', () => {
    const values = [50, 51, 49, 50, ...new Array<number>(12).fill(52.6)];
    expect(ewmaChart(values, { target: 50, sd: 1 }).outside.length).toBeGreaterThan(5);
    expect(() => ewmaChart(values, { target: 50, sd: 0 })).toThrow(RangeError);
  });
});

describe('outlier tests (NIST/SEMATECH e-Handbook)', () => {
  it('1.3.5.17.1: Grubbs on the mass spectrometer example', () => {
    const values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
    // The page suspects the largest alone, at alpha / n with alpha 0.05: as either end at twice that.
    const test = grubbsTest(values, 0.1)!;
    expect(test.statistic).toBeCloseTo(2.4688, 3);
    expect(test.critical).toBeCloseTo(2.0317, 4);
    expect(test).toMatchObject({ index: 7, outlier: true });
    expect(grubbsTest([1, 1, 1], 0.05)).toBeNull();
  });
  it('1.3.5.17.3: either end of Rosner’s 54 values, the furthest taken away each time: statistics and critical values', () => {
    const left = fixture('rosner54.txt').map(Number);
    const rounds = [1, 2, 3].map(() => {
      const { statistic, critical, index } = grubbsTest(left, 0.05)!;
      const [value] = left.splice(index, 1);
      return { value, statistic, critical };
    });
    expect(rounds.map(({ value }) => value)).toEqual([6.01, 5.42, 5.34]);
    [3.1189, 2.943, 3.1794].forEach((value, i) => expect(rounds[i]!.statistic).toBeCloseTo(value, 3));
    // Critical values of the same page, from memory.
    [3.159, 3.151, 3.144].forEach((value, i) => expect(rounds[i]!.critical).toBeCloseTo(value, 3));
  });
});

describe('effectiveSampleSize', () => {
  it('is 33.784 for 100 values at rho 0.5 (recomputed)', () => {
    expect(effectiveSampleSize(100, 0.5)).toBeCloseTo(33.784, 3);
  });
  it('is the sum it stands for', () => {
    for (const [n, rho] of [
      [1, 0.3],
      [7, -0.6],
      [40, 0.9],
    ] as const) {
      let sum = 0;
      for (let k = 1; k < n; k += 1) sum += (1 - k / n) * rho ** k;
      expect(effectiveSampleSize(n, rho)).toBeCloseTo(n / (1 + 2 * sum), 9);
    }
    expect(() => effectiveSampleSize(10, 1)).toThrow(RangeError);
  });
});
