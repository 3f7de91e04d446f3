/** A turn and a scale of the picture about its middle. */
export interface Turn {
  /** Degrees, positive clockwise on screen. */
  readonly rotationDeg: number;
  readonly scale: number;
}

/**
 * The scene as a turned or zoomed camera sees it: bilinear samples of linear light, three floats a pixel, edges held.
 * Softens the picture as a real lens would not; what is behind the edges is unknown to the model.
 */
export function turnView(
  linear: Float32Array,
  width: number,
  height: number,
  { rotationDeg, scale }: Turn,
  into: Float32Array,
): Float32Array {
  const cos = Math.cos((rotationDeg * Math.PI) / 180) / scale;
  const sin = Math.sin((rotationDeg * Math.PI) / 180) / scale;
  const row3 = 3 * width;
  for (let row = 0, at = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1, at += 3) {
      const x = column + 0.5 - width / 2;
      const y = row + 0.5 - height / 2;
      const fromX = Math.min(width - 1.001, Math.max(0, width / 2 + cos * x + sin * y - 0.5));
      const fromY = Math.min(height - 1.001, Math.max(0, height / 2 - sin * x + cos * y - 0.5));
      const left = Math.floor(fromX);
      const top = Math.floor(fromY);
      const fx = fromX - left;
      const fy = fromY - top;
      const start = 3 * (top * width + left);
      for (let channel = 0; channel < 3; channel += 1) {
        const place = start + channel;
        const upper = linear[place]! + fx * (linear[place + 3]! - linear[place]!);
        const lower = linear[place + row3]! + fx * (linear[place + row3 + 3]! - linear[place + row3]!);
        into[at + channel] = upper + fy * (lower - upper);
      }
    }
  }
  return into;
}
