/**
 * Unwraps hues along time: each known hue is moved by whole turns to lie within half a turn of the known hue before it.
 * Degrees; the first known value stays as it is; `null` stays `null` and is skipped, so that a gap does not restart the count.
 */
export function unwrapHue(series: readonly (number | null)[]): (number | null)[] {
  let previous: number | null = null;
  return series.map((hue) => {
    if (hue === null) return null;
    previous = previous === null ? hue : hue - 360 * Math.round((hue - previous) / 360);
    return previous;
  });
}
