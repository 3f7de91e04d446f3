import type { VialBox } from '../layout.ts';
import { lay, paint, type Canvas } from './canvas.ts';

/** Five by seven dots a sign, a row a number; drawn for this project. */
const signs: Readonly<Record<string, readonly number[]>> = {
  A: [0b01110, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001],
  B: [0b11110, 0b10001, 0b10001, 0b11110, 0b10001, 0b10001, 0b11110],
  C: [0b01110, 0b10001, 0b10000, 0b10000, 0b10000, 0b10001, 0b01110],
  D: [0b11110, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b11110],
  '0': [0b01110, 0b10001, 0b10011, 0b10101, 0b11001, 0b10001, 0b01110],
  '1': [0b00100, 0b01100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110],
  '2': [0b01110, 0b10001, 0b00001, 0b00110, 0b01000, 0b10000, 0b11111],
  '3': [0b11110, 0b00001, 0b00001, 0b01110, 0b00001, 0b00001, 0b11110],
  '4': [0b00010, 0b00110, 0b01010, 0b10010, 0b11111, 0b00010, 0b00010],
  '5': [0b11111, 0b10000, 0b11110, 0b00001, 0b00001, 0b10001, 0b01110],
  '6': [0b01110, 0b10000, 0b10000, 0b11110, 0b10001, 0b10001, 0b01110],
  '7': [0b11111, 0b00001, 0b00010, 0b00100, 0b01000, 0b01000, 0b01000],
  '8': [0b01110, 0b10001, 0b10001, 0b01110, 0b10001, 0b10001, 0b01110],
  '9': [0b01110, 0b10001, 0b10001, 0b01111, 0b00001, 0b00001, 0b01110],
};

/** Paints the place's name on the shelf front below a vial; signs without a drawing stay blank. */
export function paintLabel(
  canvas: Canvas,
  box: VialBox,
  shelf: { readonly top: number; readonly bottom: number },
  [dx, dy]: readonly [number, number],
): void {
  const dot = Math.max(1, Math.floor((0.62 * (shelf.bottom - shelf.top)) / 7));
  const left = Math.round(box.centreX - (box.region.length * 6 - 1) * 0.5 * dot);
  const top = Math.round((shelf.top + shelf.bottom) / 2 - 3.5 * dot) + dot;
  [...box.region].forEach((sign, place) => {
    signs[sign]?.forEach((bits, row) => {
      for (let column = 0; column < 5; column += 1) {
        if (((bits >> (4 - column)) & 1) === 0) continue;
        const x = left + dx + (place * 6 + column) * dot;
        const y = top + dy + row * dot;
        paint(canvas, [x - 1, y - 1, x + dot + 1, y + dot + 1], (px, py, colour) => {
          const inside = edge(px - x, dot) * edge(py - y, dot);
          lay(colour, 0.06, 0.055, 0.05, 0.85 * inside);
        });
      }
    });
  });
}

/** Share of a pixel with middle `at` that lies in 0..length along one axis. */
function edge(at: number, length: number): number {
  return Math.max(0, Math.min(at + 0.5, length) - Math.max(at - 0.5, 0));
}
