import type { Random } from '../../numeric/random.ts';
import { smoothStep } from './canvas.ts';

/** The picture with a gloved hand and sleeve in front: a large dark soft shape; each time elsewhere. */
export function blockView(linear: Float32Array, width: number, height: number, random: Random): Float32Array {
  const centreX = width * (0.3 + 0.4 * random.uniform());
  const centreY = height * (0.35 + 0.3 * random.uniform());
  const radiusX = width * (0.35 + 0.2 * random.uniform());
  const radiusY = height * (0.4 + 0.3 * random.uniform());
  const seen = new Float32Array(linear.length);
  for (let row = 0, at = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1) {
      const off = Math.hypot((column - centreX) / radiusX, (row - centreY) / radiusY);
      // The sleeve comes in from below.
      const sleeve = row > centreY ? Math.abs(column - centreX) / (0.6 * radiusX) : 2;
      const clear = Math.min(smoothStep(0.9, 1.15, off), smoothStep(0.9, 1.2, sleeve));
      seen[at] = linear[at++]! * clear + 0.11 * (1 - clear);
      seen[at] = linear[at++]! * clear + 0.13 * (1 - clear);
      seen[at] = linear[at++]! * clear + 0.19 * (1 - clear);
    }
  }
  return seen;
}
