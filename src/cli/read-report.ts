import { existsSync } from 'node:fs';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { isReportFolder } from '../files/report-folder.ts';
import { checkShape } from '../files/check-shape.ts';
import { readDocument } from '../files/document.ts';
import { readTextFile, shownPath } from '../files/read-text-file.ts';
import { resultSchema } from '../files/schemas/result.ts';
import type { ChartRun } from '../report/chart-data.ts';
import { runOfTables, type ReportTable } from '../report/run-of-tables.ts';

/** Largest trajectory read: 24 vials of 100 000 frames. */
const trajectoryLimit = 512 * 1024 * 1024;

/**
 * A finished report folder, ready for charts; `tell` hears what its charts will lack.
 * @throws UserError when the folder holds no result of ours or its tables are damaged.
 */
export async function readReport(folder: string, tell: (words: string) => void): Promise<ChartRun> {
  if (!(await isReportFolder(folder))) {
    throw new UserError({
      code: 'not-a-report',
      message: 'this is not a report folder',
      file: shownPath(folder),
      expected: 'a folder with result.json and trajectory.csv, as written by "vialapse analyse"',
      hint: 'name the report folder, such as reports/lot-07',
    });
  }
  const result = checkShape(resultSchema, await readDocument(path.join(folder, 'result.json')));
  if (result.match !== undefined) {
    throw new UserError({
      code: 'report-of-match',
      message: 'this report compares end colours and holds no rates to draw',
      file: shownPath(folder),
      expected: 'a report of "vialapse analyse"',
      hint: 'its own picture is charts/panel.svg in the same folder',
    });
  }
  const trajectory = await table(path.join(folder, 'trajectory.csv'));
  const curves = await tableIfThere(path.join(folder, 'curves.csv'));
  const events = await tableIfThere(path.join(folder, 'events.csv'));
  if (curves === null) {
    tell(
      `${shownPath(folder)} holds no curves.csv: its fits and bands are not drawn. Analyse the run again to keep them.`,
    );
  }
  return runOfTables(result, { trajectory, curves, events });
}

async function table(file: string): Promise<ReportTable> {
  return { text: await readTextFile(file, trajectoryLimit), file: shownPath(file) };
}

/** `null`: there is none. */
async function tableIfThere(file: string): Promise<ReportTable | null> {
  return existsSync(file) ? table(file) : null;
}
