import { InvalidArgumentError } from 'commander';

/** Reads an option's value as a number above 0. */
export function positiveNumber(text: string): number {
  const value = text.trim() === '' ? NaN : Number(text);
  if (!Number.isFinite(value) || value <= 0) throw new InvalidArgumentError('Expected a number above 0.');
  return value;
}
