import { bell, coverage, lay, paint, smoothStep, type Canvas } from './canvas.ts';
import type { Layout } from '../layout.ts';
import { valueNoise } from './texture.ts';

/** Reflectance of the backing card (white paper), chosen. */
export const cardReflectance = 0.8;

/** What the camera sees behind everything: the lit card, in linear light. */
export function cardLight(
  seed: string,
  texture: number,
  size: { readonly width: number; readonly height: number },
): (x: number, y: number) => number {
  const coarse = valueNoise(`${seed}/card`, size.width / 9);
  const fine = valueNoise(`${seed}/grain`, 2.5);
  return (x, y) => {
    // The lamp stands above and a little left: light falls off towards the lower right.
    const fall = 1 - 0.1 * (y / size.height) - 0.05 * (x / size.width);
    return cardReflectance * fall * (1 + texture * (0.6 * coarse(x, y) + 0.4 * fine(x, y)));
  };
}

/** Paints card, shelves with the places' names left to labels.ts, and neutral patches. */
export function paintBackground(
  canvas: Canvas,
  layout: Layout,
  seed: string,
  card: (x: number, y: number) => number,
  shift: readonly [number, number],
): void {
  const [dx, dy] = shift;
  paint(canvas, [0, 0, canvas.width, canvas.height], (px, py, colour) => {
    colour.fill(card(px - dx, py - dy));
  });
  const grain = valueNoise(`${seed}/shelf`, layout.pixelsPerCm * 1.6, 1.7);
  for (const { top, bottom } of layout.shelves) {
    const deep = bottom - top;
    paint(canvas, [0, top + dy - 1, canvas.width, bottom + dy + 2.2 * deep], (px, py, colour) => {
      const x = px - dx;
      const y = py - dy;
      const inside = coverage(y - top) * coverage(bottom - y);
      // Shadow of the board on the card below it.
      const shadow = 1 - 0.34 * smoothStep(bottom + 2.2 * deep, bottom, y);
      for (let channel = 0; channel < 3; channel += 1) colour[channel]! *= shadow;
      const light = (1 + 0.07 * grain(x, y)) * (0.92 + 0.5 * bell(y, top + 1.5, 1.6)) * (1 - 0.16 * ((y - top) / deep));
      lay(colour, 0.46 * light, 0.4 * light, 0.32 * light, inside);
    });
  }
  paintPatches(canvas, layout, seed, card, shift);
}

/** Neutral patches on one black holder, as such cards come. */
function paintPatches(
  canvas: Canvas,
  layout: Layout,
  seed: string,
  card: (x: number, y: number) => number,
  [dx, dy]: readonly [number, number],
): void {
  const paper = valueNoise(`${seed}/patch`, 3);
  const first = layout.patches[0];
  const last = layout.patches.at(-1);
  if (first === undefined || last === undefined) return;
  const rim = 0.1 * first.width;
  const boxOf = {
    left: first.x - rim,
    top: first.y - rim,
    right: last.x + last.width + rim,
    bottom: last.y + last.height + rim,
  };
  paint(
    canvas,
    [boxOf.left + dx - 2, boxOf.top + dy - 2, boxOf.right + dx + 8, boxOf.bottom + dy + 8],
    (px, py, colour) => {
      const inset = Math.min(px - dx - boxOf.left, py - dy - boxOf.top);
      const end = Math.min(boxOf.right - px + dx, boxOf.bottom - py + dy);
      const shadow = 1 - 0.3 * coverage(Math.min(inset, end + 4) / 4);
      for (let channel = 0; channel < 3; channel += 1) colour[channel]! *= shadow;
      lay(colour, 0.035, 0.035, 0.036, coverage(Math.min(inset, end)));
    },
  );
  for (const patch of layout.patches) {
    const right = patch.x + patch.width;
    const bottom = patch.y + patch.height;
    paint(canvas, [patch.x + dx - 1, patch.y + dy - 1, right + dx + 1, bottom + dy + 1], (px, py, colour) => {
      const x = px - dx;
      const y = py - dy;
      const light = patch.reflectance * (1 + 0.004 * paper(x, y)) * (card(x, y) / cardReflectance);
      lay(colour, light, light, light, coverage(Math.min(x - patch.x, y - patch.y, right - x, bottom - y)));
    });
  }
}
