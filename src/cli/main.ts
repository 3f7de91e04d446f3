import { MachineError } from '../errors.ts';
import { reportError } from './report-error.ts';
import { makeProgram } from './program.ts';

/**
 * Runs one command. A command that ends well with another code than 0 sets `process.exitCode`.
 * @returns the exit code: 0 done, 1 a fault of ours or the machine, 2 wrong input or usage, 3 controls failed.
 */
export async function main(argv: readonly string[]): Promise<number> {
  const debug = argv.includes('--debug') || (process.env['VIALAPSE_DEBUG'] ?? '') !== '';
  const words = argv.filter((word) => word !== '--debug');
  const before = process.exitCode;
  process.exitCode = undefined;
  const output = { lost: false };
  const restore = watchOutput(output);
  try {
    const program = await makeProgram(words);
    if (words.length === 0) {
      program.outputHelp({ error: true });
      return 2;
    }
    await program.parseAsync(words, { from: 'user' });
    return output.lost ? 1 : Number(process.exitCode ?? 0);
  } catch (error) {
    return reportError(error, debug);
  } finally {
    restore();
    process.exitCode = before;
  }
}

/**
 * A reader that goes away (`vialapse … | head`) is no fault: what is left to say is dropped. A file on a full disk that
 * the output goes to is one, told once.
 */
function watchOutput(output: { lost: boolean }): () => void {
  const onError = (error: NodeJS.ErrnoException): void => {
    if (error.code === 'EPIPE' || output.lost) return;
    output.lost = true;
    const hint = 'what is printed here is incomplete; free some space where it goes to, then run again';
    const code = reportError(
      new MachineError('cannot-print', `the output cannot be written: ${error.message}`, { hint, cause: error }),
      false,
    );
    // Told only after the command has ended, it is too late for what `main` returns.
    setImmediate(() => (process.exitCode = code));
  };
  process.stdout.on('error', onError);
  process.stderr.on('error', onError);
  return () => {
    // A broken pipe may be told only after the last write: the listeners stay, once, for the rest of the process.
    if (process.stdout.listenerCount('error') > 1) process.stdout.off('error', onError);
    if (process.stderr.listenerCount('error') > 1) process.stderr.off('error', onError);
  };
}
