/** Extent in words of the report: three decimals at most, never a negative zero. */
export function extentText(value: number): string {
  const text = value.toFixed(Math.abs(value) < 0.1 ? 3 : 2);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** A value with its standard uncertainty, above 0: that one has one digit, two where it begins with 1 (JCGM 100:2008, 7.2.6). */
export function withErrorText(value: number, uncertainty: number): string {
  const [first, exponent] = uncertainty.toExponential(0).split('e');
  const decimals = Math.max(0, -Number(exponent) + (first === '1' ? 1 : 0));
  return `${value.toFixed(decimals)} \u00b1 ${uncertainty.toFixed(decimals)}`;
}

/** A duration for people: `45 s`, `12 min`, `1 h 40 min`, `2 h`, `2 h 05 min`. */
export function durationText(seconds: number): string {
  const sign = seconds < 0 ? '-' : '';
  const size = Math.abs(seconds);
  if (size < 120) return `${sign}${Number(size.toPrecision(3))} s`;
  const minutes = Math.round(size / 60);
  if (minutes < 60) return `${sign}${minutes} min`;
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  return rest === 0 ? `${sign}${hours} h` : `${sign}${hours} h ${String(rest).padStart(2, '0')} min`;
}

/** A share as a percentage without needless digits: 0.05 -> `5 %`. */
export function percentText(share: number): string {
  return `${Number((share * 100).toPrecision(2))} %`;
}

/** `A`, `A and B`, `A, B and C`. */
export function listText(items: readonly string[]): string {
  if (items.length < 2) return items[0] ?? '';
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1)!}`;
}

/** `1 vial`, `3 vials`. */
export function countText(count: number, singular: string, plural = `${singular}s`): string {
  return `${count} ${count === 1 ? singular : plural}`;
}

/** Two or three significant digits for levels and ratios. */
export function numberText(value: number, digits = 2): string {
  return String(Number(value.toPrecision(digits)));
}
