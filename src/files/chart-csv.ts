import type { ChartRow, ChartRows, Refuse } from './load-chart.ts';

const columns = {
  lab: [
    ['l', 'l*', 'lab_l', 'lightness'],
    ['a', 'a*', 'lab_a'],
    ['b', 'b*', 'lab_b'],
  ],
  xyz: [
    ['x', 'xyz_x'],
    ['y', 'xyz_y'],
    ['z', 'xyz_z'],
  ],
} as const;
const names: readonly string[] = ['id', 'name', 'patch', 'sample_id', 'sample_name', 'sample'];

/**
 * Rows of a table with a heading: `id,L,a,b` or `id,X,Y,Z`, in any order; comma, semicolon or tab may divide. Lines that begin with `#`
 * are comments; `# illuminant: D65` names the light.
 */
export function csvRows(lines: readonly string[], refuse: Refuse): ChartRows {
  const comment = (line: string): boolean => line.trimStart().startsWith('#');
  const head = lines.findIndex((line) => line.trim() !== '' && !comment(line));
  if (head < 0) refuse('chart-empty', undefined, 'the table is empty', 'id,L,a,b or id,X,Y,Z', 'nothing');
  const divider = /[,;\t]/.exec(lines[head]!)?.[0] ?? ',';
  const cells = (line: string): string[] => line.split(divider).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'));
  const heading = cells(lines[head]!).map((cell) => cell.toLowerCase());
  const placed = (['lab', 'xyz'] as const).map((kind) => ({
    kind,
    at: columns[kind].map((spellings) => heading.findIndex((cell) => (spellings as readonly string[]).includes(cell))),
  }));
  const found = placed.find(({ at }) => at.every((place) => place >= 0));
  if (found === undefined) {
    refuse('chart-heading', head + 1, 'the heading does not name the colours', 'id,L,a,b or id,X,Y,Z', lines[head]!);
  }
  const { kind, at } = found!;
  const id = heading.findIndex((cell) => names.includes(cell));
  const rows: ChartRow[] = [];
  lines.forEach((line, index) => {
    if (index <= head || line.trim() === '' || comment(line)) return;
    const row = cells(line);
    const values = at.map((place) => (row[place] === undefined || row[place] === '' ? NaN : Number(row[place])));
    if (row.length !== heading.length || !values.every(Number.isFinite)) {
      refuse(
        'chart-row',
        index + 1,
        'this row does not fit the heading (numbers with a decimal point)',
        lines[head]!,
        line,
      );
    }
    rows.push({ line: index + 1, id: id < 0 ? null : row[id]!, values: [values[0]!, values[1]!, values[2]!] });
  });
  const light = lines.filter(comment).map((line) => /illuminant\s*[:=]\s*(\w+)/i.exec(line)?.[1] ?? null);
  return { kind, illuminant: light.find((name) => name !== null) ?? null, rows };
}
