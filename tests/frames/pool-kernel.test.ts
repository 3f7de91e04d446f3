import { expect, test } from 'vitest';
import { pixelFormat } from '../../src/frames/pixel-format.ts';
import type { Turn } from '../../src/frames/upright.ts';
import { planeConverter } from '../../src/frames/video/convert-planes.ts';
import { planCrops } from '../../src/frames/video/crop-plan.ts';
import { createPixelMemory, type PixelMemory } from '../../src/frames/video/pixel-memory.ts';
import { poolKernel } from '../../src/frames/video/pool-kernel.ts';
import type { CropKind, Pooling, RegionPixels } from '../../src/model/frame.ts';
import { createRandom } from '../../src/numeric/random.ts';

// The kernel is held to pool-planes.ts, whose colours the tests of films beside this one hold to what was drawn.

const frame = { width: 640, height: 480 };
const conversion = { matrix: 'bt709', range: 'limited' } as const;

/** The regions of one noisy picture, converted by the kernel where it serves, and without it. */
function both(name: string, turn: Turn, pooling: Pooling, widths: readonly number[]) {
  const crops = widths.map((width, at) => {
    const kind: CropKind = at === 0 ? 'anchor' : 'vial';
    return { id: `${at}`, kind, x: 40 + 6 * at, y: 2 * pooling * at, width, height: 5 * pooling, pooling };
  });
  const plan = planCrops(crops, frame, pixelFormat(name)!, turn);
  const memory = createPixelMemory(plan);
  const random = createRandom(`${name} ${pooling}`);
  const deep = plan.format.bitDepth > 8;
  const levels = 2 ** plan.format.bitDepth;
  const samples = deep
    ? new Uint16Array(memory.bytes.buffer, memory.bytes.byteOffset, memory.bytes.byteLength >> 1)
    : memory.bytes;
  // The highest code too, everywhere in the first rows: there sums are largest.
  for (let at = 0; at < samples.length; at += 1)
    samples[at] = at < 3 * plan.width ? levels - 1 : Math.floor(levels * random.uniform());
  const planes = (regions: readonly RegionPixels[]) =>
    regions.map(({ red, green, blue }) => [red, green, blue].map((plane) => Float32Array.from(plane)));
  let served = 0;
  const watched: PixelMemory = {
    ...memory,
    pooler: (...asked) => {
      const pool = memory.pooler(...asked);
      if (pool !== null) served += 1;
      return pool;
    },
  };
  return {
    kernel: planes(planeConverter(plan, conversion, memory.bytes, watched)()),
    plain: planes(planeConverter(plan, conversion, Uint8Array.from(memory.bytes))()),
    served,
  };
}

test('this engine runs the kernel', () => {
  expect(poolKernel(new WebAssembly.Memory({ initial: 1 }))).not.toBeNull();
});

const formats = ['yuv420p', 'yuv422p', 'yuv444p', 'yuv420p10le', 'yuv422p10le', 'yuv444p12le'];
for (const name of formats) {
  for (const pooling of [2, 4, 8] as const) {
    test(`${name}, ${pooling} x ${pooling} pixels a sample: the same bits as without the kernel`, () => {
      const { kernel, plain, served } = both(
        name,
        0,
        pooling,
        [8, 8, 9, 10, 13, 17].map((blocks) => pooling * blocks),
      );
      expect(served).toBeGreaterThan(3);
      expect(kernel).toEqual(plain);
      expect(plain[2]![0]!.some((value) => value !== 0)).toBe(true);
    });
  }
}

test('turned pictures and narrow regions come out the same', () => {
  for (const turn of [90, 180, 270] as const) {
    const { kernel, plain, served } = both('yuv420p', turn, 4, [40, 48, 64]);
    expect(served).toBe(0);
    expect(kernel).toEqual(plain);
  }
  const { kernel, plain, served } = both('yuv420p', 0, 4, [8, 12, 16, 20]);
  expect(served).toBe(0);
  expect(kernel).toEqual(plain);
});

test('large pictures at the highest code do not overflow', () => {
  const plan = planCrops(
    [{ id: 'a', kind: 'vial', x: 0, y: 0, width: 256, height: 64, pooling: 8 }],
    frame,
    pixelFormat('yuv444p12le')!,
    0,
  );
  const memory = createPixelMemory(plan);
  memory.bytes.fill(0xff);
  const [kernel] = planeConverter(plan, conversion, memory.bytes, memory)();
  const [plain] = planeConverter(plan, conversion, Uint8Array.from(memory.bytes))();
  expect(kernel!.red).toEqual(plain!.red);
  expect(kernel!.red[0]).toBeGreaterThan(15); // all 16 bits set where 12 are used
});
