import type { RunEvent } from '../model/run.ts';
import { csvTable } from './csv.ts';
import { cellNumber, plainName, readTable } from './read-table.ts';

/** Columns of events.csv, which is there when something happened at the bench. */
export const eventsColumns = ['number', 'at_run_s', 'what', 'region'] as const;

/** What happened during the run, numbered as in report and charts; no region: the whole rack. */
export function eventsCsv(events: readonly RunEvent[]): string {
  return csvTable(
    eventsColumns,
    events.map(({ atRunS, what, region }, index) => [index + 1, atRunS, what, region]),
  );
}

/** The events of a report's table. @throws UserError when it is none of ours; `file` names it in the message. */
export function readEvents(text: string, file: string): readonly RunEvent[] {
  return readTable(text, eventsColumns, file).flatMap((row) => {
    const atRunS = cellNumber(row('at_run_s'));
    const region = plainName(row('region'));
    return atRunS === null ? [] : [{ atRunS, what: plainName(row('what')), region: region === '' ? null : region }];
  });
}
