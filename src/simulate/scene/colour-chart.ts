import { weighLinearRgb, type ViewingWeights } from '../../spectra/index.ts';
import { chartColumns, chartPaints, chartRows } from '../chart-patches.ts';
import type { ChartBox } from '../layout.ts';
import { coverage, lay, paint, type Canvas } from './canvas.ts';

/** Paints a printed chart: paints on a black sheet, in the light of the card. `lit`: light at a place, 1 = full. */
export function paintChart(
  canvas: Canvas,
  box: ChartBox,
  weights: ViewingWeights,
  lit: (x: number, y: number) => number,
  [dx, dy]: readonly [number, number],
): void {
  const colours = chartPaints.map(({ reflectance }) => weighLinearRgb(weights, reflectance));
  const right = box.x + box.width;
  const bottom = box.y + box.height;
  const cellWidth = box.width / chartColumns;
  const cellHeight = box.height / chartRows;
  // The sheet's black bars between the paints are an eighth of a cell wide.
  const bar = 0.0625 * Math.min(cellWidth, cellHeight);
  paint(canvas, [box.x + dx - 2, box.y + dy - 2, right + dx + 2, bottom + dy + 2], (px, py, colour) => {
    const x = px - dx;
    const y = py - dy;
    const light = lit(x, y);
    lay(
      colour,
      0.03 * light,
      0.03 * light,
      0.031 * light,
      coverage(Math.min(x - box.x, y - box.y, right - x, bottom - y)),
    );
    const column = Math.min(chartColumns - 1, Math.max(0, Math.floor((x - box.x) / cellWidth)));
    const row = Math.min(chartRows - 1, Math.max(0, Math.floor((y - box.y) / cellHeight)));
    const left = box.x + column * cellWidth;
    const top = box.y + row * cellHeight;
    const inside = Math.min(x - left, y - top, left + cellWidth - x, top + cellHeight - y) - bar;
    const [red, green, blue] = colours[row * chartColumns + column]!;
    lay(colour, red * light, green * light, blue * light, coverage(inside));
  });
}
