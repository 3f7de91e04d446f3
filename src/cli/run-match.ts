import path from 'node:path';
import { assembleMatch } from '../assemble-match.ts';
import { UserError } from '../errors.ts';
import { checkReportFolder, loadReaction, loadRun, shownPath, writeReportFolder } from '../files/index.ts';
import { controlsFailed } from '../judge/controls.ts';
import { matchRun, type MeasuredRun } from '../match-run.ts';
import { measure } from '../kept-measurement.ts';
import type { Reaction } from '../model/reaction.ts';
import type { Run } from '../model/run.ts';
import { writeMatchReport } from '../report/match-report.ts';
import { matchSummary } from './match-summary.ts';
import { terminalWidth } from './printable.ts';
import { inputsOf, sha256Of } from './run-inputs.ts';
import { StageLine } from './stage-progress.ts';
import { measuringId, toolVersion } from './version.ts';

export interface MatchCommandOptions {
  readonly out?: string | undefined;
  /** Another run file whose knowns and blank stand in place of this run's. */
  readonly knowns?: string | undefined;
  readonly json?: boolean | undefined;
}

/** Measures a run, compares its samples with its knowns, writes the report; 0, or 3 when the panel tells nothing. */
export async function runMatch(file: string, options: MatchCommandOptions = {}): Promise<number> {
  const run = await loadRun(file, { samplesAlone: options.knowns !== undefined });
  const other = options.knowns === undefined ? null : await loadRun(options.knowns);
  refuseWithoutKnowns(other ?? run);
  if (other !== null && [run, other].some(({ rig }) => rig.chart === null)) {
    for (const one of [run, other]) refuseWithoutPatch(one);
  }
  const reaction = await loadReaction(run.reaction.file);
  const outDir = path.resolve(options.out ?? path.join(path.dirname(run.file), 'reports', `${run.name} match`));
  await checkReportFolder(outDir);
  const line = new StageLine();
  try {
    const cacheDir = path.join(path.dirname(outDir), '.vialapse');
    const own = await measured(run, reaction, cacheDir, line);
    const knowns = other === null ? null : await measured(other, reaction, cacheDir, line);
    const match = matchRun(own, knowns, (one) => shownPath(one.file));
    const folder = path.dirname(run.file);
    const knownsFrom = other === null ? null : path.relative(folder, other.file).split(path.sep).join('/');
    const result = assembleMatch({
      own,
      knowns,
      knownsFrom,
      match,
      version: toolVersion(),
      madeAt: new Date(),
      inputs: [
        ...(await inputsOf(run)),
        ...(other === null ? [] : [{ path: knownsFrom!, sha256: await sha256Of(other.file) }]),
        ...(knowns?.measurement.source.inputs ?? []),
      ],
    });
    await writeReportFolder(outDir, writeMatchReport(result, reaction.cautions));
    line.clear();
    process.stderr.write(matchSummary(result, shownPath(path.join(outDir, 'report.html')), terminalWidth()));
    if (options.json === true) process.stdout.write(`${JSON.stringify(result)}\n`);
    return controlsFailed(result) ? 3 : 0;
  } finally {
    line.clear();
  }
}

async function measured(run: Run, reaction: Reaction, cacheDir: string, line: StageLine): Promise<MeasuredRun> {
  const { measurement } = await measure({
    run,
    reaction,
    glance: false,
    untilS: null,
    onProgress: (progress) => line.show(progress),
    clock: () => new Date(),
    version: toolVersion(),
    measuringId: measuringId(),
    cacheDir,
    baseDir: path.dirname(run.file),
    inputs: [],
    chartSha256: run.rig.chart === null ? null : await sha256Of(run.rig.chart.values),
  });
  return { run, measurement };
}

function refuseWithoutKnowns(run: Run): void {
  if (run.vials.some(({ role }) => role === 'known')) return;
  throw new UserError({
    code: 'no-known',
    message: 'there is no known reference to compare with',
    file: shownPath(run.file),
    key: 'vials',
    expected: 'vials such as { region: A2, label: compound 1 a, role: known, identity: compound 1 }',
    hint: 'put references of known identity beside the samples, two vials of each',
  });
}

/** Said before anything is measured; whether the patch is usable is seen later. */
function refuseWithoutPatch(run: Run): void {
  if (run.rig.white.length > 0) return;
  throw new UserError({
    code: 'no-common-patch',
    message: 'colours of two runs can only be compared when both show a neutral patch, or both a chart',
    file: shownPath(run.rigFile),
    key: 'white',
    hint: 'place the same "white" patch (or a chart) in both rigs, or put the knowns beside the samples',
  });
}
