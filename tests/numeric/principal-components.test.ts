import { describe, expect, it } from 'vitest';
import { principalComponents } from '../../src/numeric/principal-components.ts';
import { createRandom } from '../../src/numeric/random.ts';

describe('principalComponents', () => {
  it('gives back the two directions that made the rows, one standard deviation long, greatest first', () => {
    const random = createRandom('components');
    const rows = Array.from({ length: 200 }, () => {
      const a = 3 * random.normal();
      const b = random.normal();
      return [a, b, a, -b];
    });
    const components = principalComponents(rows, 3, 1e-6);
    expect(components).toHaveLength(2);
    // All of the rows' second moments are in the two.
    for (let i = 0; i < 4; i += 1) {
      for (let j = 0; j < 4; j += 1) {
        const moment = rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0) / rows.length;
        expect(components.reduce((sum, c) => sum + c[i]! * c[j]!, 0)).toBeCloseTo(moment, 10);
      }
    }
    const size = (c: Float64Array): number => Math.hypot(...c);
    expect(size(components[0]!)).toBeGreaterThan(size(components[1]!));
  });
  it('stops at what is negligible', () => {
    expect(principalComponents([[1e-3, 0]], 3, 0.01)).toEqual([]);
    expect(principalComponents([], 3, 0.01)).toEqual([]);
  });
});
