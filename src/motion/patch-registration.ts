import type { Part } from './grey-image.ts';

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
  scratch: Float32Array,
): PatchShift | null {
  let [dx, dy] = start;
  const [xx, xy, yy] = template.hessian;
  // Along an edge only one direction is known: a little is added to the diagonal, and the steps in the other stay small.
  const damping = 1e-3 * (xx + yy);
  const determinant = (xx + damping) * (yy + damping) - xy * xy;
  if (!(determinant > 0)) return null;
  const total = template.grey.length;
  for (let round = 0; round < 20; round += 1) {
    const moments = samplePatch(template, grey, cropWidth, known, dx, dy, scratch);
    if (moments === null) return null;
    const factor = template.norm / moments.norm;
    let sumX = 0;
    let sumY = 0;
    let product = 0;
    for (let index = 0; index < total; index += 1) {
      const value = (scratch[index]! - moments.mean) * factor;
      const error = value - template.grey[index]!;
      sumX += template.gradientX[index]! * error;
      sumY += template.gradientY[index]! * error;
      product += value * template.grey[index]!;
    }
    const stepX = ((yy + damping) * sumX - xy * sumY) / determinant;
    const stepY = ((xx + damping) * sumY - xy * sumX) / determinant;
    if (round === 19 || Math.hypot(stepX, stepY) < 0.004) {
      const correlation = product / template.norm ** 2;
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

/** Bilinear samples of the crop under the shifted template, their mean and norm; `null` outside what is known of it or on a flat patch. */
function samplePatch(
  template: Template,
  grey: Float32Array,
  cropWidth: number,
  known: Part,
  dx: number,
  dy: number,
  into: Float32Array,
): { readonly mean: number; readonly norm: number } | null {
  const left = template.left + dx;
  const top = template.top + dy;
  const column0 = Math.floor(left);
  const row0 = Math.floor(top);
  const inside =
    column0 >= known.left &&
    row0 >= known.top &&
    column0 + template.width < known.right &&
    row0 + template.height < known.bottom;
  if (!inside) return null;
  const fx = left - column0;
  const fy = top - row0;
  let sum = 0;
  let squares = 0;
  for (let row = 0, index = 0; row < template.height; row += 1) {
    let at = (row0 + row) * cropWidth + column0;
    for (let column = 0; column < template.width; column += 1, index += 1, at += 1) {
      const upper = grey[at]! + fx * (grey[at + 1]! - grey[at]!);
      const lower = grey[at + cropWidth]! + fx * (grey[at + cropWidth + 1]! - grey[at + cropWidth]!);
      const value = upper + fy * (lower - upper);
      into[index] = value;
      sum += value;
      squares += value * value;
    }
  }
  const mean = sum / into.length;
  const norm = Math.sqrt(Math.max(0, squares - (sum * sum) / into.length));
  return norm > 1e-6 ? { mean, norm } : null;
}
