import { expect, it } from 'vitest';
import { exactDraws } from '../../src/numeric/exact-draws.ts';
import { createRandom } from '../../src/numeric/random.ts';

it('has the mean products asked for, exactly', () => {
  const components = [
    [1, 2, 0, -1],
    [0.5, -0.25, 3, 0],
    [0, 0.1, 0.1, 0.1],
  ];
  const draws = exactDraws(components, 32, createRandom('draws'));
  expect(draws).toHaveLength(32);
  for (let i = 0; i < 4; i += 1) {
    for (let j = 0; j < 4; j += 1) {
      const wanted = components.reduce((sum, one) => sum + one[i]! * one[j]!, 0);
      const found = draws.reduce((sum, one) => sum + one[i]! * one[j]!, 0) / 32;
      expect(found).toBeCloseTo(wanted, 12);
    }
  }
});

it('spreads its scores like a normal law, not like corners of a cube', () => {
  const scores = exactDraws([[1]], 400, createRandom('law')).map(([score]) => score!);
  // shares of the standard normal within 1 and 2 (tables: 0.683, 0.954), give or take three standard errors of 400
  expect(Math.abs(scores.filter((score) => Math.abs(score) < 1).length / 400 - 0.683)).toBeLessThan(0.07);
  expect(Math.abs(scores.filter((score) => Math.abs(score) < 2).length / 400 - 0.954)).toBeLessThan(0.032);
});

it('gives nothing for no components and refuses more components than draws', () => {
  expect(exactDraws([], 3, createRandom('none'))).toEqual([[], [], []]);
  expect(() => exactDraws([[1], [2], [3]], 2, createRandom('many'))).toThrow(/3 components, 2 draws/);
});
