import path from 'node:path';
import { UserError } from '../errors.ts';
import { checkReportFolder, loadReaction, loadRun, shownPath, writeReportFolder } from '../files/index.ts';
import { controlsFailed } from '../judge/controls.ts';
import { isMatchRun } from '../match-run.ts';
import type { Result } from '../model/result.ts';
import { analyseRun } from '../pipeline.ts';
import { fewKeyFrames } from '../refuse-single-frame.ts';
import { judgementsOf } from './judgements.ts';
import { historyFrom } from './read-overview.ts';
import { inputsOf, sha256Of } from './run-inputs.ts';
import { StageLine } from './stage-progress.ts';
import { terminalWidth } from './printable.ts';
import { summaryOf } from './summary.ts';
import { codeId, measuringId, toolVersion } from './version.ts';

export interface AnalyseOptions {
  /** Report folder; left out: `reports/<name>` beside the run file. */
  readonly out?: string | undefined;
  /** Answer from key frames only. */
  readonly glance?: boolean | undefined;
  /** Frames later than this on the run's clock are not looked at. */
  readonly until?: number | undefined;
  /** The trajectory as a Parquet file beside the CSV. */
  readonly parquet?: boolean | undefined;
  /** The result as JSON on stdout. */
  readonly json?: boolean | undefined;
  /** No summary on stderr (batch writes its own). */
  readonly quiet?: boolean | undefined;
  /** The overview.json of earlier runs: how much vials of one liquid differ on this rig. */
  readonly history?: string | undefined;
}

/** What one analysis came to. */
export interface Analysed {
  readonly result: Result;
  readonly outDir: string;
  /** 0, or 3 when the run's own controls failed. */
  readonly exitCode: 0 | 3;
}

/** Reads a run file, analyses it and writes its report folder: complete or not at all. */
export async function analyseFile(file: string, options: AnalyseOptions = {}): Promise<Analysed> {
  const run = await loadRun(file);
  if (isMatchRun(run)) {
    throw new UserError({
      code: 'panel-of-knowns',
      message: 'this run is a panel of known references; there is no extent to be analysed',
      file: shownPath(run.file),
      key: 'vials',
      expected: 'positive and negative references',
      got: 'role: known',
      hint: `vialapse match ${shownPath(run.file)}`,
    });
  }
  const reaction = await loadReaction(run.reaction.file);
  const outDir = path.resolve(options.out ?? path.join(path.dirname(run.file), 'reports', run.name));
  await checkReportFolder(outDir);
  const line = new StageLine();
  try {
    const inputs = await inputsOf(run);
    const judgements = await judgementsOf(outDir, run, toolVersion());
    const { analysis, files } = await analyseRun({
      run,
      reaction,
      glance: options.glance ?? false,
      parquet: options.parquet ?? false,
      untilS: options.until ?? null,
      onProgress: (progress) => line.show(progress),
      clock: () => new Date(),
      version: toolVersion(),
      codeId: codeId(),
      measuringId: measuringId(),
      baseDir: path.dirname(run.file),
      inputs,
      remarks: judgements.remarks,
      history: options.history === undefined ? null : await historyFrom(options.history, run, inputs[1]!.sha256),
      chartSha256: run.rig.chart === null ? null : await sha256Of(run.rig.chart.values),
      cacheDir: path.join(path.dirname(outDir), '.vialapse'),
    });
    await writeReportFolder(outDir, [...files, judgements.file]);
    return { result: analysis.result, outDir, exitCode: controlsFailed(analysis.result) ? 3 : 0 };
  } finally {
    line.clear();
  }
}

/** {@link analyseFile}, with the summary on stderr and, where asked, the result on stdout; the exit code. */
export async function runAnalyse(file: string, options: AnalyseOptions = {}): Promise<number> {
  const { result, outDir, exitCode } = await analyseFile(file, options);
  if (options.quiet !== true) {
    process.stderr.write(summaryOf(result, shownPath(path.join(outDir, 'report.html')), terminalWidth()));
    const { glance, frames } = result.run;
    if (glance && frames.read < fewKeyFrames)
      process.stderr.write(`This glance saw ${frames.read} frames only: analyse without --glance before concluding.\n`);
  }
  if (options.json === true) process.stdout.write(`${JSON.stringify(result)}\n`);
  return exitCode;
}
