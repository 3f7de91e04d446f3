import { expect, it } from 'vitest';
import { extentText, withErrorText } from '../../src/judge/text.ts';

// JCGM 100:2008, 7.2.6: a value is given to the digits of its uncertainty, which has at most two.
it('gives a value the digits of its uncertainty', () => {
  expect(withErrorText(1.0387, 0.0048)).toBe('1.039 ± 0.005');
  expect(withErrorText(50, 6)).toBe('50 ± 6');
  expect(withErrorText(0.5217, 0.0312)).toBe('0.52 ± 0.03');
  expect(withErrorText(0.5217, 0.0124)).toBe('0.522 ± 0.012');
});

it('keeps the decimals of an extent of nothing, without a sign', () => {
  expect([extentText(-0.0001), extentText(0), extentText(0.0123), extentText(-0.5)]).toEqual([
    ...['0.000', '0.000', '0.012', '-0.50'],
  ]);
});
