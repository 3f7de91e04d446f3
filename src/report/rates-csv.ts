import type { Result, ResultEstimate, ResultVial } from '../model/result.ts';
import { sampleOf } from './chart-data.ts';
import { csvTable, type CsvValue } from './csv.ts';

const estimate = (name: string, unit = ''): readonly string[] =>
  ['', '_se', '_ci95_low', '_ci95_high'].map((part) => `${name}${part}${unit}`);

/** Columns of rates.csv; units stand at the end of each name, none means extent (fraction converted). */
export const ratesColumns: readonly string[] = [
  'region',
  'label',
  'role',
  'group',
  'outcome',
  'added_run_s',
  'read_at_s',
  ...estimate('extent_at_read'),
  'model',
  ...estimate('rate_constant'),
  'rate_constant_unit',
  ...estimate('initial_rate', '_per_s'),
  ...estimate('background_rate', '_per_s'),
  ...estimate('amplitude'),
  ...estimate('induction', '_s'),
  ...estimate('half_time', '_s'),
  'half_time_censored',
  ...estimate('onset', '_s'),
  'onset_censored',
  ...estimate('rate_constant_at_reference'),
  ...estimate('initial_rate_at_reference', '_per_s'),
  'reference_temperature_c',
  'residual_sd',
  'flags',
];

/** One row a vial, in the order of the run file; numbers unrounded. */
export function ratesCsv(result: Result): string {
  return csvTable(
    ratesColumns,
    result.vials.map((vial) => row(vial, result)),
  );
}

function row(vial: ResultVial, result: Result): readonly CsvValue[] {
  const { fit } = vial;
  return [
    vial.region,
    vial.label,
    vial.role,
    vial.group,
    sampleOf(result, vial.region)?.outcome ?? null,
    vial.added_run_s,
    result.run.read_at_s,
    ...cells(vial.extent.at_read),
    fit.model,
    ...cells(fit.rate_constant),
    fit.rate_constant?.unit ?? null,
    ...cells(fit.initial_rate),
    ...cells(fit.background_rate),
    ...cells(fit.amplitude),
    ...cells(fit.induction_s),
    ...cells(fit.half_time_s),
    fit.half_time_s?.censored ?? null,
    ...cells(vial.onset_s),
    vial.onset_s?.censored ?? null,
    ...cells(fit.at_reference_temperature?.rate_constant ?? null),
    ...cells(fit.at_reference_temperature?.initial_rate ?? null),
    fit.at_reference_temperature?.reference_c ?? null,
    fit.residual_sd,
    vial.flags.map(({ code }) => code).join(' '),
  ];
}

function cells(value: ResultEstimate | null): readonly (number | null)[] {
  return value === null ? [null, null, null, null] : [value.value, value.se, value.ci95[0], value.ci95[1]];
}
