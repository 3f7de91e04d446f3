/** One cell: `null` is unknown and stays empty. */
export type CsvValue = string | number | boolean | null;

/** With the full-width signs that some spreadsheets take alike (from memory). */
const formulaStart = /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;

/**
 * A cell by RFC 4180. Strings that a spreadsheet would run as a formula (beginning with = + - @ or a control) get an
 * apostrophe in front (OWASP, "CSV Injection"); numbers are written as they are.
 */
export function csvCell(value: CsvValue): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  if (typeof value === 'boolean') return String(value);
  const harmless = formulaStart.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

/** A table with a header row and CRLF line ends (RFC 4180). */
export function csvTable(columns: readonly string[], rows: Iterable<readonly CsvValue[]>): string {
  const lines = [columns.join(',')];
  for (const row of rows) lines.push(row.map(csvCell).join(','));
  return `${lines.join('\r\n')}\r\n`;
}

/** Six significant digits: finer than any camera colour, and files stay small. */
export function sixDigits(value: number | null | undefined): number | null {
  return value === null || value === undefined || !Number.isFinite(value) ? null : Number(value.toPrecision(6));
}

/** The cell of {@link sixDigits}, several times quicker than by way of a number: a long table has a third of a million of them. */
export function sixDigitsCell(value: number | null | undefined): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '';
  const text = value.toPrecision(6);
  // Very large and very small ones come with an exponent, which a number writes in its own way.
  if (text.includes('e')) return String(Number(text));
  if (!text.includes('.')) return text;
  let end = text.length;
  while (text.charCodeAt(end - 1) === zero) end -= 1;
  if (text.charCodeAt(end - 1) === point) end -= 1;
  return text.slice(0, end);
}

const zero = '0'.charCodeAt(0);
const point = '.'.charCodeAt(0);
