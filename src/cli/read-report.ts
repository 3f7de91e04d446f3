import path from 'node:path';
import { UserError } from '../errors.ts';
import { isReportFolder } from '../files/report-folder.ts';
import { checkShape } from '../files/check-shape.ts';
import { readDocument } from '../files/document.ts';
import { readTextFile, shownPath } from '../files/read-text-file.ts';
import { resultSchema } from '../files/schemas/result.ts';
import type { ChartRun } from '../report/chart-data.ts';
import { runOfTables } from '../report/run-of-tables.ts';

/** Largest trajectory read: 24 vials of 100 000 frames. */
const trajectoryLimit = 512 * 1024 * 1024;

/**
 * A finished report folder, ready for charts.
 * @throws UserError when the folder holds no result of ours or its tables are damaged.
 */
export async function readReport(folder: string): Promise<ChartRun> {
  if (!(await isReportFolder(folder))) {
    throw new UserError({
      code: 'not-a-report',
      message: 'this is no report folder',
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
  const file = path.join(folder, 'trajectory.csv');
  return runOfTables(result, await readTextFile(file, trajectoryLimit), shownPath(file));
}
