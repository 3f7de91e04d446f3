/** A picture in linear light, three floats a pixel, 1 = perfect white at exposure 1. */
export interface Canvas {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

export function createCanvas(width: number, height: number): Canvas {
  return { width, height, data: new Float32Array(3 * width * height) };
}

/**
 * Visits the pixels of a box (cut to the canvas) with their middle coordinates. `shade` changes `colour`, which holds
 * what is there.
 */
export function paint(
  canvas: Canvas,
  box: readonly [left: number, top: number, right: number, bottom: number],
  shade: (x: number, y: number, colour: Float32Array) => void,
): void {
  const left = Math.max(0, Math.floor(box[0]));
  const top = Math.max(0, Math.floor(box[1]));
  const right = Math.min(canvas.width, Math.ceil(box[2]));
  const bottom = Math.min(canvas.height, Math.ceil(box[3]));
  const colour = new Float32Array(3);
  for (let row = top; row < bottom; row += 1) {
    for (let column = left; column < right; column += 1) {
      const at = 3 * (row * canvas.width + column);
      colour.set(canvas.data.subarray(at, at + 3));
      shade(column + 0.5, row + 0.5, colour);
      canvas.data.set(colour, at);
    }
  }
}

/** 0 below `low`, 1 above `high`, smooth between. */
export function smoothStep(low: number, high: number, at: number): number {
  const share = Math.min(1, Math.max(0, (at - low) / (high - low)));
  return share * share * (3 - 2 * share);
}

/** Bell of height 1 and standard deviation `width`. */
export function bell(at: number, centre: number, width: number): number {
  return Math.exp(-0.5 * ((at - centre) / width) ** 2);
}

/** Share of a one-pixel-wide edge that lies inside: `distance` in pixels, positive inside. */
export function coverage(distance: number): number {
  return Math.min(1, Math.max(0, distance + 0.5));
}

/** Lays `level` (a grey) over the colour with the given opacity. */
export function lay(colour: Float32Array, red: number, green: number, blue: number, opacity: number): void {
  colour[0] = colour[0]! + opacity * (red - colour[0]!);
  colour[1] = colour[1]! + opacity * (green - colour[1]!);
  colour[2] = colour[2]! + opacity * (blue - colour[2]!);
}
