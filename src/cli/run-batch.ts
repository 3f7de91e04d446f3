import { readdir } from 'node:fs/promises';
import path from 'node:path';
import { runCommand } from '../batch/analyse-process.ts';
import { expandPatterns, isInShard, parseShard, refuseEqualNames, type ListedRun } from '../batch/list-runs.ts';
import { makeOverview, type FinishedRun } from '../batch/overview.ts';
import { runAll, worstCode, type Done } from '../batch/run-all.ts';
import { UserError } from '../errors.ts';
import { isReportFolder, loadRun, projectRoot, shownPath, writeFileAtomically } from '../files/index.ts';
import { controlsFailed } from '../judge/controls.ts';
import { isMatchRun } from '../match-run.ts';
import type { Overview } from '../model/overview.ts';
import { overviewCsv } from '../report/overview-csv.ts';
import { overviewPage } from '../report/overview-page.ts';
import { trustOf } from '../report/words.ts';
import { finishedCode, readResult } from './finished-report.ts';
import { judgedBefore } from './judgements.ts';
import { printable } from './printable.ts';
import { readOverview } from './read-overview.ts';

export interface BatchOptions {
  readonly out?: string | undefined;
  readonly jobs?: number | undefined;
  readonly shard?: string | undefined;
  readonly collect?: boolean | undefined;
  readonly json?: boolean | undefined;
}

/** Several runs, each an `analyse` or `match` process of its own; then the overview. The exit code. */
export async function runBatch(patterns: readonly string[], options: BatchOptions): Promise<number> {
  const shard = options.shard === undefined ? null : parseShard(options.shard);
  const outDir = path.resolve(options.out ?? 'reports');
  if (options.collect === true) return collect(outDir, patterns, options);
  if (patterns.length === 0) {
    throw new UserError({ code: 'no-runs', message: 'no run file was named', hint: 'vialapse batch */run.yaml' });
  }
  const { runs, unreadable } = await readNames(await expandPatterns(patterns));
  refuseEqualNames(runs);
  const mine = runs.filter(({ name }) => shard === null || isInShard(name, shard));
  const overviewFile = path.join(outDir, 'overview.json');
  const before = await readOverview(overviewFile);
  const history = before === null ? [] : ['--history', overviewFile];
  const say = (text: string): void => void process.stderr.write(`${printable(text)}\n`);
  const done = await runAll(mine, outDir, options.jobs ?? 1, {
    finished: (run) => finishedCode(run.file, path.join(outDir, run.name)),
    analyse: (run, started) =>
      runCommand(
        path.join(projectRoot, 'bin', 'vialapse'),
        [
          ...[run.verb ?? 'analyse', run.file, '--out', path.join(outDir, run.name)],
          ...(run.verb === 'match' ? [] : history),
        ],
        started,
      ),
    onDone: ({ run, code, kept, message }) =>
      say(
        message === null
          ? `${run.name}: ${kept ? 'as before, nothing to do' : 'done'}${code === 3 ? ', controls failed' : ''}`
          : `${run.name}: FAILED`,
      ),
  });
  const failures = [
    ...unreadable,
    ...done.flatMap(({ run, message }) => (message === null ? [] : [{ name: run.name, message }])),
  ];
  if (shard === null) {
    const names = done.filter(({ message }) => message === null).map(({ run }) => run.name);
    const overview = makeOverview(await finishedRuns(outDir, names), failures, before);
    await writeOverview(outDir, overview).catch((error: unknown) => {
      // Why runs failed is told even where there is no place for an overview: the reason is often the same.
      tellEnd(done, failures, null, say);
      throw error;
    });
    if (options.json === true) process.stdout.write(`${JSON.stringify(overview)}\n`);
  } else {
    say(
      `part ${shard.part} of ${shard.of}: ${mine.length} of ${countOf(runs.length)}; join them with "vialapse batch --collect"`,
    );
  }
  tellEnd(done, failures, shard === null ? path.join(outDir, 'overview.html') : null, say);
  return worstCode([...done.map(({ code }) => code), ...unreadable.map(() => 2)]);
}

/** A run file that cannot be read is a failed run like any other, told at the end. */
async function readNames(files: readonly string[]): Promise<{
  readonly runs: readonly ListedRun[];
  readonly unreadable: readonly { readonly name: string; readonly message: string }[];
}> {
  const runs: ListedRun[] = [];
  const unreadable: { name: string; message: string }[] = [];
  for (const file of files) {
    try {
      const run = await loadRun(file);
      runs.push({ file, name: run.name, verb: isMatchRun(run) ? 'match' : 'analyse' });
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      unreadable.push({ name: shownPath(file), message: error.message });
    }
  }
  return { runs, unreadable };
}

async function finishedRuns(outDir: string, names: readonly string[]): Promise<readonly FinishedRun[]> {
  const runs: FinishedRun[] = [];
  for (const name of names) {
    const result = await readResult(path.join(outDir, name));
    runs.push({
      ...{ name, result, trust: trustOf(result), controlsFailed: controlsFailed(result) },
      judgedBefore: await judgedBefore(path.join(outDir, name)),
    });
  }
  return runs;
}

async function writeOverview(outDir: string, overview: Overview): Promise<void> {
  await writeFileAtomically(path.join(outDir, 'overview.csv'), overviewCsv(overview));
  await writeFileAtomically(path.join(outDir, 'overview.html'), overviewPage(overview));
  // Last: its presence says that the batch was completed.
  await writeFileAtomically(path.join(outDir, 'overview.json'), `${JSON.stringify(overview, null, 2)}\n`);
}

/** Joins whatever reports lie in the folder, wherever they were made; of the runs that are named, tells which have none. */
async function collect(outDir: string, patterns: readonly string[], options: BatchOptions): Promise<number> {
  const { runs, unreadable } = await readNames(await expandPatterns(patterns));
  refuseEqualNames(runs);
  const names: string[] = [];
  for (const entry of await readdir(outDir, { withFileTypes: true }).catch(() => [])) {
    const own = !entry.name.startsWith('.') && entry.isDirectory();
    if (own && (await isReportFolder(path.join(outDir, entry.name)))) names.push(entry.name);
  }
  const missing = runs
    .filter(({ name }) => !names.includes(name))
    .map(({ name }) => ({ name, message: 'no report: its part was not done yet, or the run failed there' }));
  const failures = [...unreadable, ...missing];
  if (names.length === 0) {
    throw new UserError({
      ...{ code: 'no-reports', file: shownPath(outDir), message: 'there is no report in this folder' },
      hint: 'give --out the folder that the parts were written to',
    });
  }
  const finished = await finishedRuns(outDir, names);
  const overview = makeOverview(finished, failures, await readOverview(path.join(outDir, 'overview.json')));
  await writeOverview(outDir, overview);
  if (options.json === true) process.stdout.write(`${JSON.stringify(overview)}\n`);
  const without = failures.length === 0 ? '' : `, ${failures.length} without a report`;
  const say = (text: string): void => void process.stderr.write(`${printable(text)}\n`);
  say(`${countOf(names.length)}${without}. Overview: ${shownPath(path.join(outDir, 'overview.html'))}`);
  for (const { name, message } of failures) say(`  ${name}:\n    ${message.split('\n').join('\n    ')}`);
  const codes = finished.map((run) => (run.controlsFailed ? 3 : 0));
  return worstCode([...codes, ...unreadable.map(() => 2), ...missing.map(() => 1)]);
}

const countOf = (runs: number): string => `${runs} ${runs === 1 ? 'run' : 'runs'}`;

function tellEnd(
  done: readonly Done[],
  failures: readonly { readonly name: string; readonly message: string }[],
  overview: string | null,
  say: (text: string) => void,
): void {
  const kept = done.filter((one) => one.kept).length;
  const made = done.filter((one) => !one.kept && one.message === null).length;
  say(`\n${countOf(made + kept + failures.length)}: ${made} done, ${kept} as before, ${failures.length} failed`);
  for (const { name, message } of failures) say(`  ${name}:\n    ${message.split('\n').join('\n    ')}`);
  if (overview !== null) say(`Overview: ${shownPath(overview)}`);
}
