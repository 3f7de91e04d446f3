import type { Part } from './grey-image.ts';
import { patchKernel } from './patch-kernel.ts';

/** What the loops need of a template. */
export interface ComparedWith {
  readonly width: number;
  readonly height: number;
  readonly grey: Float32Array;
  readonly gradientX: Float32Array;
  readonly gradientY: Float32Array;
}

/** What one round of a registration adds up. */
export interface PatchSums {
  readonly x: number;
  readonly y: number;
  readonly product: number;
}

/** The two inner loops of a registration: of one template in one picture, told by `begin`. */
export interface PatchLoops {
  /** @param known the only part of the grey crop that is looked at */
  begin(template: ComparedWith, grey: Float32Array, cropWidth: number, known: Part): void;
  /** Bilinear samples under the template with its left upper corner there: their sum and that of their squares. */
  sample(column: number, row: number, fx: number, fy: number): readonly [sum: number, squares: number];
  /** The samples, less a mean and times a factor, against the template. */
  compare(mean: number, factor: number): PatchSums;
}

/** The slower way, for engines without WebAssembly. */
export function plainLoops(): PatchLoops {
  let on: { readonly template: ComparedWith; readonly grey: Float32Array; readonly width: number } | null = null;
  let patch = new Float32Array(0);
  return {
    begin(template, grey, width) {
      on = { template, grey, width };
      if (patch.length !== template.grey.length) patch = new Float32Array(template.grey.length);
    },
    sample(column, row, fx, fy) {
      const { template, grey, width } = on!;
      let sum = 0;
      let squares = 0;
      for (let down = 0, index = 0; down < template.height; down += 1) {
        let at = (row + down) * width + column;
        for (let across = 0; across < template.width; across += 1, index += 1, at += 1) {
          const upper = grey[at]! + fx * (grey[at + 1]! - grey[at]!);
          const lower = grey[at + width]! + fx * (grey[at + width + 1]! - grey[at + width]!);
          const value = upper + fy * (lower - upper);
          patch[index] = value;
          sum += value;
          squares += value * value;
        }
      }
      return [sum, squares];
    },
    compare(mean, factor) {
      const { grey, gradientX, gradientY } = on!.template;
      let x = 0;
      let y = 0;
      let product = 0;
      for (let index = 0; index < patch.length; index += 1) {
        const value = (patch[index]! - mean) * factor;
        const error = value - grey[index]!;
        x += gradientX[index]! * error;
        y += gradientY[index]! * error;
        product += value * grey[index]!;
      }
      return { x, y, product };
    },
  };
}

const page = 65_536;
const outBytes = 32;

/** At a third of the time; the same bits. `null` where the engine has no WebAssembly, or the system limits virtual memory. */
export function kernelLoops(): PatchLoops | null {
  let memory: WebAssembly.Memory;
  try {
    memory = new WebAssembly.Memory({ initial: 1 });
  } catch {
    return null;
  }
  const kernel = patchKernel(memory);
  if (kernel === null) return null;
  let floats = new Float32Array(memory.buffer);
  let out = new Float64Array(memory.buffer, 0, outBytes / 8);
  let [count, width, height, stride] = [0, 0, 0, 0];
  let [patchAt, greyAt, acrossAt, downAt, cropAt] = [0, 0, 0, 0, 0];
  return {
    begin(template, grey, cropWidth, known) {
      const rows = grey.subarray(known.top * cropWidth, known.bottom * cropWidth);
      ({ width, height } = template);
      count = width * height;
      stride = 4 * cropWidth;
      [patchAt, greyAt, acrossAt, downAt] = [0, 1, 2, 3].map((plane) => outBytes + 4 * plane * count) as [
        ...[number, number, number, number],
      ];
      const rowsAt = outBytes + 16 * count;
      cropAt = rowsAt - known.top * stride;
      const lacking = rowsAt + 4 * rows.length - memory.buffer.byteLength;
      if (lacking > 0) {
        memory.grow(Math.ceil(lacking / page));
        floats = new Float32Array(memory.buffer);
        out = new Float64Array(memory.buffer, 0, outBytes / 8);
      }
      floats.set(template.grey, greyAt >> 2);
      floats.set(template.gradientX, acrossAt >> 2);
      floats.set(template.gradientY, downAt >> 2);
      floats.set(rows, rowsAt >> 2);
    },
    sample(column, row, fx, fy) {
      kernel.sample(cropAt + row * stride + 4 * column, stride, width, height, fx, fy, patchAt, 0);
      return [out[0]!, out[1]!];
    },
    compare(mean, factor) {
      kernel.compare(patchAt, greyAt, acrossAt, downAt, count, mean, factor, 0);
      return { x: out[0]!, y: out[1]!, product: out[2]! };
    },
  };
}
