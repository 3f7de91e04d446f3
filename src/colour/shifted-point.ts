import type { Shift } from '../model/shift.ts';

export const noShift: Shift = { dx: 0, dy: 0, rotation: 0, scale: 1 };

/** The point of the reference frame that a point of a shifted frame shows. `centre`: centre of the frame, pixels. */
export function toReference(
  shift: Shift,
  centre: { readonly x: number; readonly y: number },
  x: number,
  y: number,
): [number, number] {
  const cos = Math.cos(shift.rotation) / shift.scale;
  const sin = Math.sin(shift.rotation) / shift.scale;
  const offsetX = x - centre.x - shift.dx;
  const offsetY = y - centre.y - shift.dy;
  return [centre.x + cos * offsetX + sin * offsetY, centre.y - sin * offsetX + cos * offsetY];
}

/** Where a point of the reference frame lies in a shifted frame: the inverse of {@link toReference}. */
export function fromReference(
  shift: Shift,
  centre: { readonly x: number; readonly y: number },
  x: number,
  y: number,
): [number, number] {
  const cos = Math.cos(shift.rotation) * shift.scale;
  const sin = Math.sin(shift.rotation) * shift.scale;
  const offsetX = x - centre.x;
  const offsetY = y - centre.y;
  return [centre.x + shift.dx + cos * offsetX - sin * offsetY, centre.y + shift.dy + sin * offsetX + cos * offsetY];
}
