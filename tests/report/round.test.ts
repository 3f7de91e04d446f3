import { describe, expect, it } from 'vitest';
import { formatDuration, timeUnit } from '../../src/report/duration.ts';
import {
  decimalsFor,
  formatFixed,
  formatInterval,
  formatSignificant,
  formatTime,
  formatWithError,
} from '../../src/report/round.ts';

describe('digits from the uncertainty', () => {
  // JCGM 100:2008 (GUM), 7.2.6: an uncertainty of at most two significant digits, the value to the same place.
  it.each([
    [0.5217, 0.0312, '0.52 ± 0.03'],
    [0.5217, 0.0123, '0.522 ± 0.012'],
    [0.5217, 0.0961, '0.52 ± 0.10'],
    [-0.0004, 0.02, '0.00 ± 0.02'],
    [-0.31, 0.02, '−0.31 ± 0.02'],
    [1234.5, 260, '1200 ± 300'],
    [8, 0, '8.00'],
  ])('%d with error %d is %s', (value, se, said) => {
    expect(formatWithError({ value, se })).toBe(said);
  });

  it('says nothing where nothing is known', () => {
    expect(formatWithError(null)).toBe('–');
    expect(formatWithError({ value: Number.NaN, se: 0.1 })).toBe('–');
    expect(formatWithError({ value: 0.123456, se: null })).toBe('0.123');
  });

  it('rounds the digit up into the next place', () => {
    expect(decimalsFor(1, 0.0096)).toBe(3);
    expect(formatFixed(-0.0001, 2)).toBe('0.00');
    expect(formatFixed(1499, -2)).toBe('1500');
  });

  it('writes very small and large numbers as powers of ten', () => {
    expect(formatSignificant(0.0000123, 2)).toBe('1.2 × 10⁻⁵');
    expect(formatSignificant(0.0456, 2)).toBe('0.046');
    expect(formatSignificant(1234567, 3)).toBe('1.23 × 10⁶');
    expect(formatSignificant(99.9, 2)).toBe('100');
  });

  it('says an open side of an interval', () => {
    const format = (value: number): string => value.toFixed(1);
    expect(formatInterval([0.1, 0.9], format)).toBe('0.1 to 0.9');
    expect(formatInterval([0.1, null], format)).toBe('above 0.1');
    expect(formatInterval([null, 0.9], format)).toBe('below 0.9');
    expect(formatInterval([null, null], format)).toBe('unbounded');
  });
});

describe('times', () => {
  it.each([
    [0, '0 s'],
    [45.4, '45 s'],
    [59.7, '1 min'],
    [150, '2 min 30 s'],
    [7200, '2 h 00 min'],
    [7499, '2 h 05 min'],
    [3599, '1 h 00 min'],
    [-600, '−10 min'],
    [100 * 3600, '100 h 00 min'],
  ])('%d s is %s', (seconds, said) => {
    expect(formatDuration(seconds)).toBe(said);
  });

  it('says censoring', () => {
    expect(formatTime({ value: 14400, censored: 'right' })).toBe('not by 4 h 00 min');
    expect(formatTime({ value: 120, censored: 'left' })).toBe('before 2 min');
    expect(formatTime(null)).toBe('–');
  });

  it('chooses minutes for short axes', () => {
    expect([timeUnit(5400).name, timeUnit(5401).name]).toEqual(['min', 'h']);
  });
});
