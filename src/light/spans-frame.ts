import type { Point } from '../model/region.ts';

/** Whether pieces of background lie about the whole picture: at least four, over half of its width and a third of its height (chosen). */
export function spansFrame(
  centres: readonly (Point | undefined)[],
  frame: { readonly width: number; readonly height: number },
): boolean {
  const known = centres.filter((centre) => centre !== undefined);
  if (known.length < 4) return false;
  const range = (axis: 0 | 1): number =>
    Math.max(...known.map((point) => point[axis])) - Math.min(...known.map((point) => point[axis]));
  return range(0) >= frame.width / 2 && range(1) >= frame.height / 3;
}
