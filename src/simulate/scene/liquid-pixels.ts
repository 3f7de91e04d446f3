import type { VialBox } from '../layout.ts';
import { coverage, smoothStep, bell } from './canvas.ts';
import { edgeDarkening, glareAt, glassTransmittance, roundedDistance } from './vial-glass.ts';

/** The pixels of the frame that one vial's liquid can cover, with what never changes about them. */
export interface LiquidPixels {
  /** Pixel number in the frame. */
  readonly index: Int32Array;
  /** Path through the liquid as a share of the bore, 0..1. */
  readonly path: Float32Array;
  /** Light arriving from behind through the glass, linear, at this pixel's exposure. */
  readonly back: Float32Array;
  /** Reflection to add, linear. */
  readonly glare: Float32Array;
  /** Share of the pixel inside the bore, 0..1. */
  readonly cover: Float32Array;
  /** Pixels below the surface just after dosing; negative above it. */
  readonly depth: Float32Array;
  /** A fixed normal deviate of each pixel, for the grain of a turbid liquid. */
  readonly grain: Float32Array;
}

/** How far the liquid climbs at the wall of the glass, cm; typical of water in clean glass of this bore (chosen). */
const climbCm = 0.07;

export function liquidPixels(options: {
  readonly box: VialBox;
  readonly width: number;
  readonly height: number;
  readonly shift: readonly [number, number];
  readonly pixelsPerCm: number;
  readonly glareStrength: number;
  readonly card: (x: number, y: number) => number;
  readonly exposureAt: (px: number, py: number) => number;
  readonly grainAt: (x: number, y: number) => number;
}): LiquidPixels {
  const { box, pixelsPerCm } = options;
  const [dx, dy] = options.shift;
  const climb = climbCm * pixelsPerCm;
  const left = box.centreX - box.innerRadius;
  const right = box.centreX + box.innerRadius;
  const found: number[][] = [];
  const top = Math.max(0, Math.floor(box.surface - 2 * climb + dy));
  const bottom = Math.min(options.height, Math.ceil(box.floor + dy + 1));
  const last = Math.min(options.width, Math.ceil(right + dx + 1));
  for (let row = top; row < bottom; row += 1) {
    for (let column = Math.max(0, Math.floor(left + dx - 1)); column < last; column += 1) {
      const x = column + 0.5 - dx;
      const y = row + 0.5 - dy;
      const cover = coverage(roundedDistance(x, y, left, right, box.floor, 0.4 * box.innerRadius));
      if (cover === 0) continue;
      const inner = Math.min(1, Math.abs(x - box.centreX) / box.innerRadius);
      const exposure = options.exposureAt(column + 0.5, row + 0.5);
      const nearFloor = 1 - 0.25 * smoothStep(box.floor - 0.1 * pixelsPerCm, box.floor, y);
      found.push([
        row * options.width + column,
        Math.sqrt(1 - inner * inner),
        options.card(x, y) * glassTransmittance * edgeDarkening(inner) * nearFloor * exposure,
        glareAt(box, x, y, options.glareStrength) * exposure,
        cover,
        y - (box.surface - climb * inner ** 4),
        options.grainAt(x, y),
      ]);
    }
  }
  const column = (at: number): Float32Array => Float32Array.from(found, (pixel) => pixel[at]!);
  return {
    index: Int32Array.from(found, (pixel) => pixel[0]!),
    path: column(1),
    back: column(2),
    glare: column(3),
    cover: column(4),
    depth: column(5),
    grain: column(6),
  };
}

/**
 * Opacity and shade of the liquid by depth below the surface (pixels): the meniscus as a dark line under a faint far rim.
 * Below `plainDepth` both are 1 to within a code of the picture.
 */
export function meniscusProfile(pixelsPerCm: number): {
  readonly plainDepth: number;
  opacity(depth: number): number;
  shade(depth: number): number;
} {
  return {
    plainDepth: 0.14 * pixelsPerCm + 0.5,
    opacity: (depth) => Math.max(coverage(depth), 0.3 * smoothStep(-0.1 * pixelsPerCm, -0.03 * pixelsPerCm, depth)),
    shade: (depth) => 1 - 0.4 * bell(depth, 0.03 * pixelsPerCm, 0.03 * pixelsPerCm),
  };
}
