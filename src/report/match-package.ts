import type { Result } from '../model/result.ts';

interface Column {
  readonly name: string;
  readonly type: 'string' | 'number';
  readonly description: string;
  readonly constraints?: { readonly enum?: readonly string[]; readonly required?: boolean };
}

const text = (name: string, description: string, allowed?: readonly string[]): Column => ({
  name,
  type: 'string',
  description,
  constraints: allowed === undefined ? { required: true } : { enum: allowed },
});
const number = (name: string, description: string): Column => ({ name, type: 'number', description });

/** Columns of colours.csv: a line a liquid. */
export const colourColumns: readonly Column[] = [
  text('unit', 'A liquid: identity of a known, name or group of a sample'),
  text('role', 'What it is in the panel', ['known', 'sample', 'blank']),
  text('regions', 'Its vials, as named in the rig file, separated by spaces'),
  number('lab_l', 'CIELAB (D65) lightness at the reading time, against the neutral patch, uneven light taken out'),
  number('lab_a', 'CIELAB (D65) a'),
  number('lab_b', 'CIELAB (D65) b'),
];

/** Columns of distances.csv: a line a pair of liquids. */
export const distanceColumns: readonly Column[] = [
  text('first', 'A liquid of colours.csv'),
  text('second', 'The reference it is compared with'),
  text('verdict', 'Whether their colours agree, at the stated risk; never an identity', [
    'agrees',
    'differs',
    'cannot tell',
  ]),
  number('final_de00', 'CIEDE2000 between the colours at the reading time'),
  number('margin_de00', 'Below this the two count as agreeing: twice the distance of like vials of these colours'),
  number('history_de00', 'Root-mean-square CIEDE2000 on the way, time stretched; empty for a single picture'),
  number('history_unstretched_de00', 'The same with times as they are'),
  number('stretch', 'The second liquid needs this many times the time of the first for the same colours'),
];

/** datapackage.json of a match: both tables by the Tabular Data Package standard (Data Package v1, specs.frictionlessdata.io). */
export function matchPackage(result: Result): string {
  const resource = (name: string, fields: readonly Column[], primaryKey: readonly string[]) => ({
    profile: 'tabular-data-resource',
    name,
    path: `${name}.csv`,
    format: 'csv',
    mediatype: 'text/csv',
    encoding: 'utf-8',
    dialect: { delimiter: ',', lineTerminator: '\r\n', quoteChar: '"', doubleQuote: true, header: true },
    schema: { fields, missingValues: [''], primaryKey },
  });
  return `${JSON.stringify(
    {
      profile: 'tabular-data-package',
      name: 'vialapse-match',
      title: `Vialapse match report of run ${result.run.name}`,
      version: result.made.version,
      resources: [
        resource('colours', colourColumns, ['role', 'unit']),
        resource('distances', distanceColumns, ['first', 'second']),
      ],
    },
    null,
    2,
  )}\n`;
}
