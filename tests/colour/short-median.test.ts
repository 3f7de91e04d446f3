import { expect, test } from 'vitest';
import { kernelList, mostNumbers, plainList } from '../../src/colour/short-median.ts';
import { createRandom } from '../../src/numeric/random.ts';

// The kernel is held to median.ts, and that to sorting.

const kernel = kernelList();

test('this engine runs the kernel', () => {
  expect(kernel).not.toBeNull();
});

const bySorting = (values: readonly number[]): number => {
  const sorted = [...values].sort((one, other) => one - other);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
};

test('median of any numbers, many of them alike, in order or not: the same bits as by sorting', () => {
  const random = createRandom('short median');
  const kinds: readonly ((at: number) => number)[] = [
    () => random.uniform() - 0.5,
    () => Math.floor(3 * random.uniform()),
    () => 7,
    (at) => at,
    (at) => -at,
    (at) => (at % 2 === 0 ? 1e300 : -1e-300) * random.uniform(),
  ];
  const lengths = [...Array.from({ length: 60 }, (_, at) => at + 1), 333, 334, mostNumbers - 1, mostNumbers];
  for (const kind of kinds) {
    for (const length of lengths) {
      const values = Array.from({ length }, (_, at) => kind(at));
      const expected = bySorting(values);
      for (const list of [kernel!, plainList()]) {
        list.values.fill(NaN);
        list.values.set(values);
        expect(list.median(length)).toBe(expected);
        const kept = Array.from(list.values.subarray(0, length));
        expect(kept.sort((one, other) => one - other)).toEqual([...values].sort((one, other) => one - other));
      }
    }
  }
});

test('of none it is not a number', () => {
  expect(kernel!.median(0)).toBeNaN();
  expect(plainList().median(0)).toBeNaN();
});
