import { spawn } from 'node:child_process';

/** Last words kept of a process, characters. */
const keptText = 20_000;

/**
 * Largest semi-space of the young generation, MB, of each process: several run side by side. Measured on 1,440 frames of
 * 1080p and 24 vials: 215 MB of memory at most with Node's own 16, 205 with 4, for the same processor time.
 */
const semiSpace = '--max-semi-space-size=4';

/** Runs one command of this tool as a process of its own and keeps what it says; a failure code is an answer. */
export async function runCommand(
  program: string,
  arguments_: readonly string[],
  started: (pid: number) => Promise<void>,
): Promise<{ readonly code: number; readonly stderr: string }> {
  const child = spawn(process.execPath, [semiSpace, program, ...arguments_], { stdio: ['ignore', 'ignore', 'pipe'] });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr = (stderr + text).slice(-keptText);
  });
  const ended = new Promise<number>((resolve) => {
    child.once('error', (error) => {
      stderr += error.message;
      resolve(1);
    });
    child.once('close', (code, signal) => {
      if (signal !== null) stderr += `\nended by ${signal}`;
      resolve(code ?? 1);
    });
  });
  if (child.pid !== undefined) await started(child.pid);
  return { code: await ended, stderr };
}
