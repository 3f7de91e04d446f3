import { setTimeout as wait } from 'node:timers/promises';
import path from 'node:path';
import { MachineError } from '../errors.ts';
import { writeFault } from '../files/index.ts';
import type { ListedRun } from './list-runs.ts';
import { takeLock } from './lock.ts';

/** What became of one run: 0 done, 3 done but its controls failed, 2 its input is wrong, 1 a fault. */
export interface Done {
  readonly run: ListedRun;
  readonly code: 0 | 1 | 2 | 3;
  /** Nothing had to be done. */
  readonly kept: boolean;
  /** What the run's own process said when it failed. */
  readonly message: string | null;
}

export interface BatchSteps {
  /** Exit code of the finished report, when it still belongs to its inputs; else `null`. */
  readonly finished: (run: ListedRun) => Promise<0 | 3 | null>;
  /** One `analyse` process; `started` is told its number. */
  readonly analyse: (
    run: ListedRun,
    started: (pid: number) => Promise<void>,
  ) => Promise<{ readonly code: number; readonly stderr: string }>;
  readonly onDone: (done: Done) => void;
}

/** How often a run that another batch works on is looked at again, milliseconds. Chosen. */
const lookAgainMs = 250;

/** Does all runs, `jobs` at a time. One that fails stops no other. In the order of `runs`. */
export async function runAll(
  runs: readonly ListedRun[],
  outDir: string,
  jobs: number,
  steps: BatchSteps,
): Promise<readonly Done[]> {
  const results: Done[] = [];
  let next = 0;
  const worker = async (): Promise<void> => {
    while (next < runs.length) {
      const at = next++;
      results[at] = await runOne(runs[at]!, outDir, steps);
      steps.onDone(results[at]);
    }
  };
  await Promise.all(Array.from({ length: Math.max(1, Math.min(jobs, runs.length)) }, worker));
  return results;
}

async function runOne(run: ListedRun, outDir: string, steps: BatchSteps): Promise<Done> {
  const failed = (code: 1 | 2, message: string): Done => ({ run, code, kept: false, message });
  try {
    const lockFile = path.join(outDir, '.vialapse', 'locks', `${run.name}.lock`);
    let lock = await takeLock(lockFile);
    while (lock === null) {
      await wait(lookAgainMs);
      lock = await takeLock(lockFile);
    }
    try {
      const before = await steps.finished(run);
      if (before !== null) return { run, code: before, kept: true, message: null };
      const { code, stderr } = await steps.analyse(run, (pid) => lock.add(pid));
      if (code === 0 || code === 3) return { run, code, kept: false, message: null };
      return failed(code === 2 ? 2 : 1, stderr.trim());
    } finally {
      await lock.release();
    }
  } catch (error) {
    const fault = writeFault(error, outDir);
    const hint = fault instanceof MachineError ? fault.hint : null;
    return failed(1, hint === null ? fault.message : `${fault.message}\n  to do:    ${hint}`);
  }
}

/** The worst, in the order 1, 2, 3, 0 (the contract's). */
export function worstCode(codes: readonly number[]): number {
  return [1, 2, 3].find((code) => codes.includes(code)) ?? 0;
}
