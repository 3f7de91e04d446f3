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
  const sixDigits = sixDigitsRounder();
  for (let index = 0; index < kept.length; index += 1) {
    const value = column[index] ?? Number.NaN;
    if (!Number.isFinite(value)) kept[index] = Number.NaN;
    // the sum turns a negative nought into nought
    else if (Number.isInteger(value)) kept[index] = value + 0;
    else kept[index] = name === 'timeRunS' ? Math.round(value * millisecond) / millisecond : sixDigits(value);
  }
  return kept;
}

/** Of numbers of so many digits before the point, the least, and the least that may be rounded to one digit more. */
const least = 10 ** (digits - 1);
const most = 10 ** digits - 1;

/** A function that is `Number(value.toPrecision(6))`, without the text where no rounding of the product can decide the digit. */
function sixDigitsRounder(): (value: number) => number {
  // neighbours in a column are of one size, nearly always: the power of the one before is tried first
  let power = 1;
  return (value) => {
    const size = Math.abs(value);
    let scaled = size * power;
    if (!(scaled >= least && scaled < most)) {
      const fitting = powers[digits - 1 - Math.floor(Math.log10(size))];
      if (fitting === undefined) return Number(value.toPrecision(digits));
      power = fitting;
      scaled = size * power;
    }
    const whole = Math.floor(scaled);
    const rest = scaled - whole;
    const certain = Math.abs(rest - 0.5) > 1e-6 && scaled >= least && scaled < most;
    if (!certain) return Number(value.toPrecision(digits));
    const rounded = (rest > 0.5 ? whole + 1 : whole) / power;
    return value < 0 ? -rounded : rounded;
  };
}
