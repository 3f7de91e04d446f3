import type { ChartRow, ChartRows, Refuse } from './load-chart.ts';

/** Whether a table is CGATS (ANSI CGATS.17): it has a data format. */
export const isCgats = (lines: readonly string[]): boolean =>
  lines.some((line) => /^\s*BEGIN_DATA_FORMAT\b/.test(line));

const spaces = {
  lab: ['LAB_L', 'LAB_A', 'LAB_B'],
  xyz: ['XYZ_X', 'XYZ_Y', 'XYZ_Z'],
} as const;
const names: readonly string[] = ['SAMPLE_ID', 'SAMPLE_LOC', 'SAMPLE_NAME', 'SAMPLEID'];

/** Rows of the first table of a CGATS text. */
export function cgatsRows(lines: readonly string[], refuse: Refuse): ChartRows {
  const starting = (keyword: string, from = 0): number =>
    lines.findIndex((line, index) => index >= from && new RegExp(`^\\s*${keyword}\\b`).test(line));
  const format = starting('BEGIN_DATA_FORMAT');
  const formatEnd = starting('END_DATA_FORMAT', format);
  const begin = starting('BEGIN_DATA(?!_)', Math.max(format, formatEnd));
  const end = starting('END_DATA(?!_)', begin);
  if (formatEnd < 0)
    refuse('cgats-format', format + 1, 'the data format has no end', 'END_DATA_FORMAT', 'the end of the file');
  if (begin < 0) refuse('cgats-data', formatEnd + 1, 'there are no data', 'BEGIN_DATA', 'the end of the file');
  if (end < 0) refuse('cgats-data', begin + 1, 'the data have no end', 'END_DATA', 'the end of the file');
  const fields = lines.slice(format, formatEnd).flatMap((line, index) => wordsOf(line).slice(index === 0 ? 1 : 0));
  const kind = (['lab', 'xyz'] as const).find((space) => spaces[space].every((field) => fields.includes(field)));
  if (kind === undefined) {
    refuse(
      'cgats-fields',
      format + 1,
      'the table has no colours',
      'LAB_L LAB_A LAB_B, or XYZ_X XYZ_Y XYZ_Z',
      fields.join(' '),
    );
  }
  const at = spaces[kind!].map((field) => fields.indexOf(field));
  const id = names.map((name) => fields.indexOf(name)).find((index) => index >= 0) ?? -1;
  const rows: ChartRow[] = [];
  for (let index = begin + 1; index < end; index += 1) {
    const words = wordsOf(lines[index]!);
    if (words.length === 0) continue;
    if (words.length !== fields.length) {
      refuse(
        'cgats-row',
        index + 1,
        'this row has not as many values as the data format',
        `${fields.length}: ${fields.join(' ')}`,
        `${words.length}: ${lines[index]!.trim()}`,
      );
    }
    const values = at.map((place) => Number(words[place]));
    if (!values.every(Number.isFinite)) {
      refuse(
        'cgats-row',
        index + 1,
        'these are not three numbers (decimal point)',
        spaces[kind!].join(' '),
        at.map((place) => words[place]).join(' '),
      );
    }
    rows.push({ line: index + 1, id: id < 0 ? null : words[id]!, values: [values[0]!, values[1]!, values[2]!] });
  }
  const stated = starting('NUMBER_OF_SETS');
  const count = stated < 0 ? rows.length : Number(wordsOf(lines[stated]!)[1]);
  if (count !== rows.length) {
    refuse(
      'cgats-count',
      stated + 1,
      'the table does not have as many rows as it says',
      `NUMBER_OF_SETS ${count}`,
      `${rows.length} rows`,
    );
  }
  return { kind: kind!, illuminant: illuminantOf(lines.slice(0, begin)), rows };
}

/** Words of a line; quoted ones may hold spaces; nothing after `#`. */
function wordsOf(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|(#.*)|([^\s"#]+)/g)].flatMap(([, quoted, comment, plain]) =>
    comment !== undefined ? [] : [quoted ?? plain ?? ''],
  );
}

/** The light named in a line about it, such as `ILLUMINATION_NAME "D50"` or `WEIGHTING_FUNCTION "ILLUMINANT,D50"`. */
function illuminantOf(head: readonly string[]): string | null {
  for (const line of head) {
    const words = wordsOf(line).join(' ');
    const found = /ILLUMIN\w*[\s,:="]+(?:CIE\s+)?(?:ILLUMINANT[\s,:="]+)?(D\d{2}|A|C|F\d{1,2}|E)\b/i.exec(words);
    if (found !== null) return found[1]!;
  }
  return null;
}
