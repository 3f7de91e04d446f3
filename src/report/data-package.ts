import type { Result } from '../model/result.ts';
import { ratesColumns } from './rates-csv.ts';
import { curvesColumns } from './curves-csv.ts';
import { eventsColumns } from './events-csv.ts';
import { trajectoryColumns } from './trajectory-csv.ts';

interface Field {
  readonly name: string;
  readonly type: 'string' | 'number' | 'integer';
  readonly description: string;
  readonly constraints?: { readonly enum?: readonly string[]; readonly required?: boolean };
}

const roles = ['blank', 'positive', 'negative', 'standard', 'mixture', 'known', 'sample'];
const models = [
  'none',
  'zero-order',
  'first-order',
  'first-order-induction',
  'burst-background',
  'consecutive',
  'sigmoid',
  'second-order',
];
const censoring = ['none', 'left', 'right'];

const texts: Readonly<Record<string, string>> = {
  region: 'Vial, as named in the rig file',
  label: "The user's name for the vial; an apostrophe stands in front where a spreadsheet would run it",
  role: 'What the vial is in the experiment',
  group: 'Joins replicates into one sample',
  outcome: 'Outcome of the sample the vial belongs to',
  frame: 'Running number of the frame in the source, from 0',
  time_run_s: 'Run clock, s; first frame = 0',
  time_s: "Time since this vial's reagent was added, s",
  added_run_s: 'Run clock when the reagent was added, s',
  read_at_s: 'Time since dosing at which samples are compared, s',
  hue_deg: 'OKLCh hue, degrees, unwrapped along time; empty below the chroma floor',
  chroma: 'OKLCh chroma',
  lightness: 'OKLab lightness, 0..1',
  extent: 'Fraction of the coloured reagent converted, never clipped',
  extent_at_read: 'Extent at the reading time',
  model: 'Kinetic model chosen',
  rate_constant: 'Rate constant of the model, in the unit of rate_constant_unit',
  rate_constant_unit: 'Unit of the rate constant',
  initial_rate: 'Extent per second at the beginning, averaged over models',
  rate_constant_at_reference: 'Rate constant carried over to the reference temperature by Arrhenius, in its unit',
  initial_rate_at_reference: 'Initial rate carried over to the reference temperature by Arrhenius, extent per second',
  reference_temperature_c: 'Temperature of the two rates before, degrees Celsius; empty without a probe',
  background_rate: 'Slow rate beside a burst, extent per second',
  amplitude: 'Extent approached by the first-order part, or the size of the burst',
  induction: 'Tangent intercept on the time axis, s',
  half_time: 'Time to extent 0.5, s',
  onset: 'First detection under a false-alarm rate for the whole run, s',
  half_time_censored: 'right: not reached by the value; left: already passed',
  onset_censored: 'right: not reached by the value; left: already passed',
  residual_sd: 'Standard deviation of the residuals, extent',
  flags: 'Codes, separated by spaces',
  curve: 'fit: fitted curve of a vial; negatives: mean course of the negative references',
  extent_band95_low: '95 % band, low end: of the fitted curve, or of where a further still vial is expected',
  extent_band95_high: '95 % band, high end, likewise',
  number: 'Number of the event in report and charts',
  at_run_s: 'Run clock of the event, s',
  what: 'What happened, in the words of the run file',
};

const enums: Readonly<Record<string, readonly string[]>> = {
  role: roles,
  model: models,
  outcome: ['reacted', 'resisted', 'undecided'],
  half_time_censored: censoring,
  onset_censored: censoring,
  curve: ['fit', 'negatives'],
};
const strings = new Set([
  'region',
  'label',
  'role',
  'group',
  'outcome',
  'model',
  'rate_constant_unit',
  'flags',
  'what',
  ...Object.keys(enums),
]);

function field(name: string): Field {
  const base = name.replace(/_(ci95_low|ci95_high|se)(?=_|$)/, '').replace(/_(per_s|s|deg)$/, '');
  const part = /_se(_|$)/.test(name) ? 'Standard error of: ' : /_ci95_(low|high)/.exec(name)?.[1];
  const about = texts[name] ?? texts[base] ?? texts[`${base}_deg`] ?? '';
  const prefix =
    part === undefined ? '' : part === 'low' || part === 'high' ? `95 % interval, ${part} end, of: ` : part;
  const allowed = enums[name];
  return {
    name,
    type: name === 'frame' || name === 'number' ? 'integer' : strings.has(name) ? 'string' : 'number',
    description: `${prefix}${about}`,
    ...(allowed === undefined ? {} : { constraints: { enum: allowed } }),
    ...(name === 'region' ? { constraints: { required: true } } : {}),
  };
}

/** Which tables there are besides those of every report. */
export interface FurtherTables {
  readonly events: boolean;
  readonly parquet: boolean;
}

/**
 * datapackage.json: the tables described by the Tabular Data Package standard (Data Package v1,
 * specs.frictionlessdata.io). That standard knows CSV only: with a Parquet file it is a plain Data Package.
 */
export function dataPackage(result: Result, further: FurtherTables): string {
  const trajectory = { fields: trajectoryColumns.map(field), primaryKey: ['region', 'frame'] };
  return `${JSON.stringify(
    {
      profile: further.parquet ? 'data-package' : 'tabular-data-package',
      name: 'vialapse-report',
      title: `Vialapse report of run ${result.run.name}`,
      version: result.made.version,
      resources: [
        csvResource('trajectory', trajectory),
        csvResource('rates', { fields: ratesColumns.map(field), primaryKey: ['region'] }),
        // the course of the negatives belongs to no single vial: region may be empty, and is no key
        csvResource('curves', { fields: curvesColumns.map(field).map(optional) }),
        ...(further.events
          ? [csvResource('events', { fields: eventsColumns.map(field).map(optional), primaryKey: ['number'] })]
          : []),
        ...(further.parquet ? [parquetResource(trajectory)] : []),
      ],
    },
    null,
    2,
  )}\n`;
}

interface TableSchema {
  readonly fields: readonly Field[];
  readonly primaryKey?: readonly string[];
}

function csvResource(name: string, schema: TableSchema): object {
  return {
    profile: 'tabular-data-resource',
    name,
    path: `${name}.csv`,
    format: 'csv',
    mediatype: 'text/csv',
    encoding: 'utf-8',
    dialect: { delimiter: ',', lineTerminator: '\r\n', quoteChar: '"', doubleQuote: true, header: true },
    schema: { fields: schema.fields, missingValues: [''], ...withKey(schema) },
  };
}

function parquetResource(schema: TableSchema): object {
  return {
    profile: 'data-resource',
    name: 'trajectory-parquet',
    path: 'trajectory.parquet',
    format: 'parquet',
    mediatype: 'application/vnd.apache.parquet',
    schema: { fields: schema.fields, ...withKey(schema) },
  };
}

function withKey({ primaryKey }: TableSchema): object {
  return primaryKey === undefined ? {} : { primaryKey };
}

/** A column whose region may be empty. */
function optional(column: Field): Field {
  if (column.name !== 'region') return column;
  const { name, type } = column;
  return { name, type, description: `${column.description}; empty: the whole rack` };
}
