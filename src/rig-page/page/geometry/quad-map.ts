import type { Point } from '../../../model/region.ts';

/** Corners in the order top left, top right, bottom right, bottom left. */
export type Quad = readonly [Point, Point, Point, Point];

/** True when the corners go round one way without a dent. */
function isConvex(quad: Quad): boolean {
  const turns = quad.map((corner, index) => {
    const next = quad[(index + 1) % 4]!;
    const after = quad[(index + 2) % 4]!;
    return (next[0] - corner[0]) * (after[1] - next[1]) - (next[1] - corner[1]) * (after[0] - next[0]);
  });
  return turns.every((turn) => turn > 1e-9) || turns.every((turn) => turn < -1e-9);
}

/**
 * Maps the unit square onto a quadrilateral: as a flat rack seen in perspective (projective; closed form of Heckbert,
 * Fundamentals of Texture Mapping and Image Warping, 1989, from memory), or bilinear while the corners are dented.
 */
export function mapQuad(quad: Quad): (u: number, v: number) => Point {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = quad;
  if (!isConvex(quad)) {
    return (u, v) => [
      (1 - u) * (1 - v) * x0 + u * (1 - v) * x1 + u * v * x2 + (1 - u) * v * x3,
      (1 - u) * (1 - v) * y0 + u * (1 - v) * y1 + u * v * y2 + (1 - u) * v * y3,
    ];
  }
  const sumX = x0 - x1 + x2 - x3;
  const sumY = y0 - y1 + y2 - y3;
  const [dx1, dx2, dy1, dy2] = [x1 - x2, x3 - x2, y1 - y2, y3 - y2];
  const determinant = dx1 * dy2 - dx2 * dy1;
  const g = (sumX * dy2 - dx2 * sumY) / determinant;
  const h = (dx1 * sumY - sumX * dy1) / determinant;
  const [a, b] = [x1 - x0 + g * x1, x3 - x0 + h * x3];
  const [d, e] = [y1 - y0 + g * y1, y3 - y0 + h * y3];
  return (u, v) => {
    const w = g * u + h * v + 1;
    return [(a * u + b * v + x0) / w, (d * u + e * v + y0) / w];
  };
}
