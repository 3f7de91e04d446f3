import type { NumberColumn } from './packed-columns.ts';

/** Significant digits kept: 1e-6 relative, a hundredth of the best colour a camera region gives. */
const digits = 6;
/** Times are kept to the millisecond, whatever the run's length. */
const millisecond = 1000;
/** Powers of ten that doubles hold exactly. */
const powers = Array.from({ length: 23 }, (_, exponent) => Number(`1e${exponent}`));

/** A measurement's column as it is kept; whole numbers as they are, what is unknown or infinite as not a number. */
export function roundColumn(column: NumberColumn, name: string): Float64Array {
  const kept = new Float64Array(column.length);
  for (let index = 0; index < kept.length; index += 1) {
    const value = column[index] ?? Number.NaN;
    if (!Number.isFinite(value)) kept[index] = Number.NaN;
    // the sum turns a negative nought into nought
    else if (Number.isInteger(value)) kept[index] = value + 0;
    else kept[index] = name === 'timeRunS' ? Math.round(value * millisecond) / millisecond : sixDigits(value);
  }
  return kept;
}

/** `Number(value.toPrecision(6))` without the text where no rounding of the product can decide the digit. */
function sixDigits(value: number): number {
  const shift = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
  const power = powers[shift];
  if (power === undefined) return Number(value.toPrecision(digits));
  const scaled = Math.abs(value) * power;
  const whole = Math.floor(scaled);
  const rest = scaled - whole;
  const certain = Math.abs(rest - 0.5) > 1e-6 && scaled >= 10 ** (digits - 1) && scaled < 10 ** digits - 1;
  if (!certain) return Number(value.toPrecision(digits));
  const rounded = (rest > 0.5 ? whole + 1 : whole) / power;
  return value < 0 ? -rounded : rounded;
}
