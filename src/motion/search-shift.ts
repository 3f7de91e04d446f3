import type { Template } from './patch-registration.ts';

/** Margin from which the search begins on halved pictures, samples. Chosen: below it the plain search takes under a millisecond. */
const halvedFrom = 18;

interface Patch {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly top: number;
  readonly grey: Float32Array;
}

/**
 * Best whole-sample shift of a template within its crop, by correlation. Over a wide margin from coarse to fine: first on pictures of
 * half the size, then two samples around what was found there.
 */
export function searchShift(
  template: Template,
  grey: Float32Array,
  cropWidth: number,
  cropHeight: number,
): readonly [number, number] {
  const reach = Math.min(template.left, template.top);
  if (reach < halvedFrom)
    return bestShift(template, grey, cropWidth, { from: [-reach, -reach], to: [reach, reach] }, 2);
  const half = halved(grey, cropWidth, cropHeight, template.left % 2, template.top % 2);
  const small = halved(template.grey, template.width, template.height, 0, 0);
  const coarse = bestShift(
    { ...small, left: template.left >> 1, top: template.top >> 1 },
    half.grey,
    half.width,
    { from: [-(reach >> 1), -(reach >> 1)], to: [reach >> 1, reach >> 1] },
    1,
  );
  const near = (value: number, by: number): number => Math.min(reach, Math.max(-reach, 2 * value + by));
  return bestShift(
    template,
    grey,
    cropWidth,
    { from: [near(coarse[0], -2), near(coarse[1], -2)], to: [near(coarse[0], 2), near(coarse[1], 2)] },
    1,
  );
}

/** The best of all whole shifts in a box, looking at every `stride`-th sample. */
function bestShift(
  template: Patch,
  grey: Float32Array,
  cropWidth: number,
  { from, to }: { readonly from: readonly [number, number]; readonly to: readonly [number, number] },
  stride: number,
): readonly [number, number] {
  let best: readonly [number, number] = [0, 0];
  let bestCorrelation = -Infinity;
  for (let dy = from[1]; dy <= to[1]; dy += 1) {
    for (let dx = from[0]; dx <= to[0]; dx += 1) {
      const correlation = correlationAt(template, grey, cropWidth, dx, dy, stride);
      if (correlation > bestCorrelation) {
        bestCorrelation = correlation;
        best = [dx, dy];
      }
    }
  }
  return best;
}

/** Correlation with the template up to its norm. */
function correlationAt(
  template: Patch,
  grey: Float32Array,
  cropWidth: number,
  dx: number,
  dy: number,
  stride: number,
): number {
  let sum = 0;
  let squares = 0;
  let product = 0;
  let count = 0;
  for (let row = 0; row < template.height; row += stride) {
    const start = (template.top + row + dy) * cropWidth + template.left + dx;
    for (let column = 0; column < template.width; column += stride) {
      const value = grey[start + column]!;
      sum += value;
      squares += value * value;
      product += value * template.grey[row * template.width + column]!;
      count += 1;
    }
  }
  return product / Math.sqrt(Math.max(1e-12, squares - (sum * sum) / count));
}

/** Means over blocks of 2 x 2, begun at `left`, `top`; a last odd row or column is left out. */
function halved(
  grey: Float32Array,
  width: number,
  height: number,
  left: number,
  top: number,
): { readonly width: number; readonly height: number; readonly grey: Float32Array } {
  const [across, down] = [(width - left) >> 1, (height - top) >> 1];
  const half = new Float32Array(across * down);
  for (let row = 0; row < down; row += 1) {
    for (let column = 0; column < across; column += 1) {
      const at = (2 * row + top) * width + 2 * column + left;
      half[row * across + column] = (grey[at]! + grey[at + 1]! + grey[at + width]! + grey[at + width + 1]!) / 4;
    }
  }
  return { width: across, height: down, grey: half };
}
