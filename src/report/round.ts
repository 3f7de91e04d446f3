import { formatDuration } from './duration.ts';

/** What stands where a number is not known. */
export const unknown = '–';
const minus = '−';

/** Fixed decimals with a true minus sign; no negative zero. `decimals` below 0 rounds to tens, hundreds, … */
export function formatFixed(value: number, decimals: number): string {
  const step = 10 ** -decimals;
  const number = decimals < 0 ? Math.round(value / step) * step : value;
  const text = number.toFixed(Math.max(0, decimals));
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text.replace('-', minus);
}

/**
 * Decimals a number deserves: its standard error keeps one significant digit, two when that digit is 1
 * (0.52 ± 0.03, 0.522 ± 0.012), the practice of the GUM (JCGM 100:2008, 7.2.6: at most two digits).
 * Without a usable error the value keeps three significant digits. Result within -12..12.
 */
export function decimalsFor(value: number, se: number | null): number {
  const usable = se !== null && Number.isFinite(se) && se > 0;
  const size = usable ? Number(se.toPrecision(1)) : Math.abs(value) / 100;
  if (!(size > 0) || !Number.isFinite(size)) return 2;
  const exponent = Math.floor(Math.log10(size) + 1e-9);
  const startsWithOne = size / 10 ** exponent < 1.5;
  return Math.min(12, Math.max(-12, (usable && startsWithOne ? 1 : 0) - exponent));
}

/** `0.52 ± 0.03`: value and standard error; the value alone when the error is unknown or nil; a dash for no value. */
export function formatWithError(estimate: { readonly value: number; readonly se: number | null } | null): string {
  if (estimate === null || !Number.isFinite(estimate.value)) return unknown;
  const { value, se } = estimate;
  if (se === null || !Number.isFinite(se) || se === 0) return formatFixed(value, decimalsFor(value, null));
  const decimals = decimalsFor(value, se);
  return `${formatFixed(value, decimals)} ± ${formatFixed(se, decimals)}`;
}

/** Interval as `0.46 to 0.58`; an open side is said: `above 0.46`, `below 0.58`, `unbounded`. */
export function formatInterval(
  [lower, upper]: readonly [number | null, number | null],
  format: (value: number) => string,
): string {
  if (lower === null && upper === null) return 'unbounded';
  if (lower === null) return `below ${format(upper!)}`;
  if (upper === null) return `above ${format(lower)}`;
  return `${format(lower)} to ${format(upper)}`;
}

/** A value with the digits of an error that belongs to it. */
export function formatLike(value: number, se: number | null): string {
  return formatFixed(value, decimalsFor(value, se));
}

/** Significant digits for numbers that may be of any size; `1.2 × 10⁻⁵` outside 0.001..100 000. */
export function formatSignificant(value: number, digits: number): string {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? '0' : unknown;
  const exponent = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(digits)))));
  if (exponent < -3 || exponent > 4) {
    return `${formatFixed(value / 10 ** exponent, digits - 1)} × 10${superscript(exponent)}`;
  }
  return formatFixed(value, digits - 1 - exponent);
}

function superscript(exponent: number): string {
  const digits = '⁰¹²³⁴⁵⁶⁷⁸⁹';
  return [...String(exponent)].map((sign) => (sign === '-' ? '⁻' : digits[Number(sign)]!)).join('');
}

/** A time with its censoring said: `1 h 05 min`, `not before 4 h 00 min`, `before 0 h 02 min`. */
export function formatTime(
  time: { readonly value: number; readonly censored: 'none' | 'left' | 'right' } | null,
): string {
  if (time === null || !Number.isFinite(time.value)) return unknown;
  const said = formatDuration(time.value);
  if (time.censored === 'right') return `not by ${said}`;
  if (time.censored === 'left') return `before ${said}`;
  return said;
}
