export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export type Turn = 0 | 90 | 180 | 270;

/** Upright size of a stored picture that must be turned clockwise by `turn`. */
export function uprightSize(width: number, height: number, turn: Turn): { width: number; height: number } {
  return turn === 90 || turn === 270 ? { width: height, height: width } : { width, height };
}

/** The stored rectangle that shows as `rect` once the stored picture (`width` x `height`) is turned clockwise. */
export function toStored(rect: Rect, width: number, height: number, turn: Turn): Rect {
  const right = rect.x + rect.width;
  const bottom = rect.y + rect.height;
  switch (turn) {
    case 0:
      return rect;
    case 90:
      return { x: rect.y, y: height - right, width: rect.height, height: rect.width };
    case 180:
      return { x: width - right, y: height - bottom, width: rect.width, height: rect.height };
    case 270:
      return { x: width - bottom, y: rect.x, width: rect.height, height: rect.width };
  }
}

/** The other way round: where a stored rectangle shows. */
export function toUpright(rect: Rect, width: number, height: number, turn: Turn): Rect {
  const upright = uprightSize(width, height, turn);
  return toStored(rect, upright.width, upright.height, ((360 - turn) % 360) as Turn);
}

/** Where sample (column, row) of a stored `width` x `height` block lands in the upright block: start + column dx + row dy. */
export function destination(
  width: number,
  height: number,
  turn: Turn,
): { readonly start: number; readonly dx: number; readonly dy: number } {
  switch (turn) {
    case 0:
      return { start: 0, dx: 1, dy: width };
    case 90:
      return { start: height - 1, dx: height, dy: -1 };
    case 180:
      return { start: width * height - 1, dx: -1, dy: -width };
    case 270:
      return { start: (width - 1) * height, dx: -height, dy: 1 };
  }
}
