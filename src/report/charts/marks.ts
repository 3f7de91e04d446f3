import type { Outcome } from '../../model/result.ts';
import { coordinate, element, line } from './svg.ts';
import type { ChartTheme } from './theme.ts';

/** Shape of an outcome: reacted a full disc, resisted an open square, undecided a half-filled diamond. */
export function outcomeMark(outcome: Outcome, x: number, y: number, theme: ChartTheme, size = 5): string {
  const stroke = { stroke: theme.ink, 'stroke-width': 1.5 };
  if (outcome === 'reacted') return element('circle', { cx: x, cy: y, r: size, fill: theme.ink });
  if (outcome === 'resisted') {
    const half = size * 0.85;
    return element('rect', { x: x - half, y: y - half, width: 2 * half, height: 2 * half, fill: 'none', ...stroke });
  }
  const reach = size * 1.15;
  return (
    element('path', { d: `M${c(x - reach)} ${c(y)}L${c(x)} ${c(y - reach)}V${c(y + reach)}z`, fill: theme.ink }) +
    element('path', {
      d: `M${c(x)} ${c(y - reach)}L${c(x + reach)} ${c(y)}L${c(x)} ${c(y + reach)}L${c(x - reach)} ${c(y)}z`,
      fill: 'none',
      ...stroke,
    })
  );
}

const c = coordinate;

/** Shapes that tell runs apart where several are drawn over each other; the fifth run begins anew, filled. */
export function runMark(run: number, x: number, y: number, theme: ChartTheme, fill?: string): string {
  const r = 3.5;
  const paint = { fill: fill ?? (run < 4 ? theme.paper : theme.ink), stroke: theme.ink, 'stroke-width': 1.25 };
  const shapes = [
    () => element('circle', { cx: x, cy: y, r, ...paint }),
    () => element('rect', { x: x - r, y: y - r, width: 2 * r, height: 2 * r, ...paint }),
    () => element('path', { d: `M${c(x)} ${c(y - r - 1)}L${c(x + r + 1)} ${c(y + r)}H${c(x - r - 1)}z`, ...paint }),
    () =>
      element('path', {
        d: `M${c(x)} ${c(y - r - 1)}L${c(x + r + 1)} ${c(y)}L${c(x)} ${c(y + r + 1)}L${c(x - r - 1)} ${c(y)}z`,
        ...paint,
      }),
  ];
  return shapes[run % 4]!();
}

/** A horizontal interval; a side that is `null` is unbounded and ends in an arrow at the edge of the plot. */
export function interval(
  ends: readonly [number | null, number | null],
  y: number,
  range: readonly [number, number],
  theme: ChartTheme,
): string {
  const [from, to] = range;
  const left = ends[0] === null || ends[0] < from ? from : ends[0];
  const right = ends[1] === null || ends[1] > to ? to : ends[1];
  const stroke = { 'stroke-width': 1.5 };
  const arrow = (x: number, direction: 1 | -1): string =>
    element('path', {
      d: `M${c(x - 5 * direction)} ${c(y - 4)}L${c(x)} ${c(y)}L${c(x - 5 * direction)} ${c(y + 4)}`,
      stroke: theme.ink,
      fill: 'none',
      ...stroke,
    });
  const cap = (x: number): string => line(x, y - 3.5, x, y + 3.5, theme.ink, stroke);
  return (
    line(left, y, right, y, theme.ink, stroke) +
    (left === ends[0] ? cap(left) : arrow(from, -1)) +
    (right === ends[1] ? cap(right) : arrow(to, 1))
  );
}
