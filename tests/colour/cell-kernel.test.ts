import { expect, test } from 'vitest';
import { kernelWalk, plainWalk } from '../../src/colour/cell-walk.ts';
import { arrangeSamples, cellColumns, cellRows } from '../../src/colour/sample-cells.ts';
import { createRandom } from '../../src/numeric/random.ts';

// The kernel is held to cell-sums.ts, whose colours the tests of the region reader hold to what was drawn.

const kernel = kernelWalk();
const plain = plainWalk();

/** A crop of noise about a level, some samples far outside 0..1, a piece of the region left out, some counted twice. */
function scene(seed: string, width: number, height: number, level: number, spread: number) {
  const random = createRandom(seed);
  const plane = () =>
    Float32Array.from({ length: width * height }, () =>
      random.uniform() < 0.01 ? 8 * random.uniform() - 4 : level + spread * (random.uniform() - 0.5),
    );
  const pixels = {
    x: 8,
    y: 16,
    width,
    height,
    pixelsPerSample: 2 as const,
    red: plane(),
    green: plane(),
    blue: plane(),
  };
  const crop = { id: 'a', kind: 'vial' as const, x: 8, y: 16, width: 2 * width, height: 2 * height };
  const keep = Uint8Array.from({ length: crop.width * crop.height }, (_, at) => (at % 7 === 0 ? 2 : 1));
  const spoilt = Uint8Array.from(keep, (_, at) => (at % crop.width < 10 && at > keep.length / 2 ? 1 : 0));
  const box = { left: 8, top: 16, right: 8 + crop.width, bottom: 16 + crop.height };
  const centre = { x: 100, y: 100 };
  const shift = { dx: 0.3, dy: -0.4, rotation: 0, scale: 1 };
  const cells = arrangeSamples({ keep, spoilt, leftOut: 0, band: null }, box, crop, pixels, shift, centre);
  return { pixels, cells };
}

function read(walk: typeof plain, { pixels, cells }: ReturnType<typeof scene>) {
  const means = [0, 1, 2].map(() => new Float64Array(cellColumns * cellRows).fill(9)) as unknown as Parameters<
    typeof plain
  >[2];
  const found = walk(pixels, cells, means);
  const copied = {
    histograms: found.histograms.map((histogram) => histogram.slice()),
    sums: found.sums.sums.slice(),
    means,
  };
  const ends = { lowest: [...Array.from(found.lowest)], highest: [...Array.from(found.highest)] };
  found.histograms.forEach((histogram) => histogram.fill(0));
  return { copied, ends };
}

test('this engine runs the kernel', () => {
  expect(kernel).not.toBeNull();
});

const scenes = [
  ['a plain region', scene('a', 31, 44, 0.5, 0.1)],
  ['a flat one', scene('b', 20, 30, 0.3, 0)],
  ['all over the scale', scene('c', 64, 80, 0.5, 2)],
  ['larger than any before', scene('d', 240, 300, 0.9, 0.3)],
  ['small, with cells that are empty', scene('e', 6, 12, 0.1, 0.2)],
  ['a plain one after a large one', scene('f', 33, 41, 0.05, 0.2)],
] as const;

for (const [name, drawn] of scenes) {
  test(`${name}: the same bits as without the kernel, and all bins in use between the ends`, () => {
    const [fast, slow] = [read(kernel!, drawn), read(plain, drawn)];
    expect(fast.copied).toEqual(slow.copied);
    expect(slow.copied.sums.some((value) => value > 0)).toBe(true);
    fast.copied.histograms.forEach((histogram, channel) => {
      const used = Array.from(histogram.keys()).filter((bin) => histogram[bin] !== 0);
      expect([fast.ends.lowest[channel], fast.ends.highest[channel]]).toEqual([used[0], used.at(-1)]);
    });
  });
}

test('some cells of the small region are empty', () => {
  const { cells } = scenes[4][1];
  expect(Array.from(cells.starts).some((start, at) => at > 0 && start === cells.starts[at - 1])).toBe(true);
});
