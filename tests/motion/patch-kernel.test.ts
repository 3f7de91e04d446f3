import { expect, test } from 'vitest';
import { kernelLoops, plainLoops } from '../../src/motion/patch-loops.ts';
import { createRandom } from '../../src/numeric/random.ts';

// The kernel is held to the loops beside it, whose shifts the tests of the tracker hold to pictures moved by known amounts.

const kernel = kernelLoops();
const plain = plainLoops();

test('this engine runs the kernel', () => {
  expect(kernel).not.toBeNull();
});

const sizes = [
  ['an anchor of 1080p', 44, 24],
  ['an odd one', 37, 21],
  ['one of a large picture, wide margin', 500, 100],
  ['a small one after it', 20, 9],
] as const;

for (const [name, crop, side] of sizes) {
  test(`${name}: the same bits as without the kernel`, () => {
    const random = createRandom(name);
    const plane = (count: number) => Float32Array.from({ length: count }, () => random.uniform() - 0.3);
    const grey = plane(crop * crop);
    const count = side * side;
    const template = {
      ...{ width: side, height: side, grey: plane(count), gradientX: plane(count), gradientY: plane(count) },
    };
    const known = { left: 1, top: 2, right: crop, bottom: crop - 3 };
    const answers = [kernel!, plain].map((loops) => {
      loops.begin(template, grey, crop, known);
      return [
        [1, 2, 0.25, 0.7],
        [crop - side - 1, crop - 3 - side - 1, 0.999, 0],
        [3, 4, 0, 0.5],
      ].map(([column, row, fx, fy]) => [
        loops.sample(column!, row!, fx!, fy!),
        loops.compare(0.21, 1.7),
        loops.compare(-0.4, 0.3),
      ]);
    });
    expect(answers[0]).toEqual(answers[1]);
    expect(answers[1]!.flat().every((one) => Object.values(one).every((value) => value !== 0))).toBe(true);
  });
}
