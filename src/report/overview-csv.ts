import type { Overview } from '../model/overview.ts';
import { csvTable } from './csv.ts';

/** overview.csv: a line a sample of a run; a run without samples, or that failed, has one line. */
export function overviewCsv(overview: Overview): string {
  const columns = [
    'run',
    'report',
    'trust',
    'controls',
    'sample',
    'outcome',
    'as_expected',
    'changed',
    'warnings',
    'judged_before',
    'failure',
  ];
  return csvTable(
    columns,
    overview.rows.flatMap((row) => {
      const samples = row.outcomes.length === 0 ? [null] : row.outcomes;
      return samples.map((sample) => [
        ...[row.name, row.report, row.trust, row.controls, sample?.label ?? null, sample?.outcome ?? null],
        ...[
          sample?.as_expected ?? null,
          row.changed.join('; '),
          row.warnings.join('; '),
          row.judged_before,
          row.failure,
        ],
      ]);
    }),
  );
}
