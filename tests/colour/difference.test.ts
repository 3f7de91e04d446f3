import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { ciede2000 } from '../../src/colour/difference.ts';

const rows = readFileSync(path.join(import.meta.dirname, '../../fixtures/colour/ciede2000-sharma34.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(',').map(Number) as [number, number, number, number, number, number, number]);

// Sharma, Wu, Dalal, Color Res. Appl. 30(1):21-30 (2005), printed to four decimals.
it('the table has 34 pairs', () => expect(rows).toHaveLength(34));
it.each(rows)('CIEDE2000 of (%d %d %d) and (%d %d %d) is %d', (l1, a1, b1, l2, a2, b2, expected) => {
  expect(Math.abs(ciede2000([l1, a1, b1], [l2, a2, b2]) - expected)).toBeLessThan(0.00006);
  expect(ciede2000([l2, a2, b2], [l1, a1, b1])).toBeCloseTo(ciede2000([l1, a1, b1], [l2, a2, b2]), 9);
});
