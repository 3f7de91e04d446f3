import { spawn } from 'node:child_process';

/** Last words kept of a process, characters. */
const keptText = 20_000;

/** Runs one command of this tool as a process of its own and keeps what it says; a failure code is an answer. */
export async function runCommand(
  program: string,
  arguments_: readonly string[],
  started: (pid: number) => Promise<void>,
): Promise<{ readonly code: number; readonly stderr: string }> {
  const child = spawn(process.execPath, [program, ...arguments_], { stdio: ['ignore', 'ignore', 'pipe'] });
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
