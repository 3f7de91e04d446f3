import type { Part } from './grey-image.ts';
import { kernelLoops, type PatchLoops, plainLoops } from './patch-loops.ts';

/** The part of an anchor's first picture that is looked for again, with what the search needs of it. */
export interface Template {
  readonly width: number;
  readonly height: number;
  /** Left and top edge inside the anchor crop, samples. */
  readonly left: number;
  readonly top: number;
  /** Grey less its mean. */
  readonly grey: Float32Array;
  readonly norm: number;
  readonly gradientX: Float32Array;
  readonly gradientY: Float32Array;
  /** Sums of gradient products: xx, xy, yy. */
  readonly hessian: readonly [number, number, number];
  /** Where the texture sits on average, samples of the crop: the place whose shift is told. */
  readonly centroid: readonly [x: number, y: number];
}

export interface PatchShift {
  /** Samples. */
  readonly dx: number;
  readonly dy: number;
  /** Correlation coefficient of the matched patch with the template, -1..1. */
  readonly correlation: number;
  /** Information (inverse covariance) of the shift, per squared sample: xx, xy, yy. */
  readonly information: readonly [number, number, number];
}

/** Takes the middle of a smoothed grey crop as template. `margin` in samples is left on every side. `null` for a flat patch. */
export function makeTemplate(grey: Float32Array, width: number, height: number, margin: number): Template | null {
  const size = { width: width - 2 * margin, height: height - 2 * margin };
  if (size.width < 8 || size.height < 8) return null;
  const total = size.width * size.height;
  const part = new Float32Array(total);
  const gradientX = new Float32Array(total);
  const gradientY = new Float32Array(total);
  let mean = 0;
  const hessian: [number, number, number] = [0, 0, 0];
  let momentX = 0;
  let momentY = 0;
  for (let row = 0, index = 0; row < size.height; row += 1) {
    for (let column = 0; column < size.width; column += 1, index += 1) {
      const at = (row + margin) * width + column + margin;
      part[index] = grey[at]!;
      mean += grey[at]!;
      const gx = (grey[at + 1]! - grey[at - 1]!) / 2;
      const gy = (grey[at + width]! - grey[at - width]!) / 2;
      gradientX[index] = gx;
      gradientY[index] = gy;
      hessian[0] += gx * gx;
      hessian[1] += gx * gy;
      hessian[2] += gy * gy;
      momentX += (gx * gx + gy * gy) * (column + margin + 0.5);
      momentY += (gx * gx + gy * gy) * (row + margin + 0.5);
    }
  }
  mean /= total;
  let squares = 0;
  for (let index = 0; index < total; index += 1) {
    part[index]! -= mean;
    squares += part[index]! ** 2;
  }
  const norm = Math.sqrt(squares);
  // Chosen: a standard deviation below half an 8-bit step is no texture.
  if (norm < (0.5 / 255) * Math.sqrt(total)) return null;
  const strength = hessian[0] + hessian[2];
  const centroid = [momentX / strength, momentY / strength] as const;
  return { ...size, left: margin, top: margin, grey: part, norm, gradientX, gradientY, hessian, centroid };
}

/**
 * Sub-pixel shift of a template in a smoothed grey crop: inverse compositional Lucas-Kanade (S. Baker, I. Matthews, IJCV 56:221, 2004)
 * on patches brought to zero mean and equal norm, so that brightness and contrast do not matter. `null` when it leaves the crop,
 * or the part of it that is known.
 */
export function refineShift(
  template: Template,
  grey: Float32Array,
  cropWidth: number,
  known: Part,
  start: readonly [number, number],
): PatchShift | null {
  let [dx, dy] = start;
  const [xx, xy, yy] = template.hessian;
  // Along an edge only one direction is known: a little is added to the diagonal, and the steps in the other stay small.
  const damping = 1e-3 * (xx + yy);
  const determinant = (xx + damping) * (yy + damping) - xy * xy;
  if (!(determinant > 0)) return null;
  usualLoops ??= kernelLoops() ?? plainLoops();
  usualLoops.begin(template, grey, cropWidth, known);
  for (let round = 0; round < 20; round += 1) {
    const moments = samplePatch(usualLoops, template, known, dx, dy);
    if (moments === null) return null;
    const sums = usualLoops.compare(moments.mean, template.norm / moments.norm);
    const stepX = ((yy + damping) * sums.x - xy * sums.y) / determinant;
    const stepY = ((xx + damping) * sums.y - xy * sums.x) / determinant;
    if (round === 19 || Math.hypot(stepX, stepY) < 0.004) {
      const correlation = sums.product / template.norm ** 2;
      return { dx, dy, correlation, information: informationOf(template, correlation) };
    }
    const length = Math.max(1, Math.hypot(stepX, stepY));
    dx -= stepX / length;
    dy -= stepY / length;
  }
  return null;
}

/**
 * Inverse covariance of a shift: gradient sums over the residual variance. Noise has gradients too, which know nothing: their share
 * (5/24 of the residual variance a sample, for two pictures of equal noise after the 3 x 3 binomial) is taken off, half more for safety,
 * so that a flat direction does not claim to know that nothing moved.
 */
function informationOf(template: Template, correlation: number): readonly [number, number, number] {
  const total = template.grey.length;
  const residual = Math.max(1e-9, (2 * template.norm ** 2 * (1 - correlation)) / total);
  const hollow = 1.5 * (5 / 24) * residual * total;
  const xx = Math.max(0, template.hessian[0] - hollow);
  const yy = Math.max(0, template.hessian[2] - hollow);
  const most = Math.sqrt(xx * yy);
  const xy = Math.min(most, Math.max(-most, template.hessian[1]));
  // After smoothing some 4 neighbours share one error (chosen).
  const variance = 4 * residual;
  return [xx / variance, xy / variance, yy / variance];
}

/** Mean and norm of the samples of the crop under the shifted template; `null` outside what is known of it or on a flat patch. */
function samplePatch(
  loops: PatchLoops,
  { left, top, width, height }: Template,
  known: Part,
  dx: number,
  dy: number,
): { readonly mean: number; readonly norm: number } | null {
  const column = Math.floor(left + dx);
  const row = Math.floor(top + dy);
  const inside =
    column >= known.left && row >= known.top && column + width < known.right && row + height < known.bottom;
  if (!inside) return null;
  const [sum, squares] = loops.sample(column, row, left + dx - column, top + dy - row);
  const count = width * height;
  const mean = sum / count;
  const norm = Math.sqrt(Math.max(0, squares - (sum * sum) / count));
  return norm > 1e-6 ? { mean, norm } : null;
}

let usualLoops: PatchLoops | undefined;
