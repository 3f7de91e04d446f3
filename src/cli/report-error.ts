import { CommanderError } from 'commander';
import { MachineError, UserError } from '../errors.ts';
import { printable } from './printable.ts';

/** Contract: 1 a fault of ours or of the machine, 2 the input or the usage is wrong. */
const fault = 1;
const wrongInput = 2;

/** Tells the user what went wrong, in one message on stderr; the exit code. */
export function reportError(error: unknown, debug: boolean): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : wrongInput; // It has spoken already.
  const say = (text: string): void => void process.stderr.write(`${printable(text)}\n`);
  const stack = debug && error instanceof Error ? `\n${error.stack ?? ''}${causeOf(error)}` : '';
  if (error instanceof UserError) {
    say(`${error.message}${stack}`);
    return wrongInput;
  }
  if (error instanceof MachineError) {
    say(`${error.message}${error.hint === null ? '' : `\n  to do:    ${error.hint}`}${stack}`);
    return fault;
  }
  const message = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  say(`A fault of ours, not of your input: ${message}`);
  say(debug ? stack.trimStart() : '  to do:    run again with --debug and report what it prints');
  return fault;
}

function causeOf(error: Error): string {
  if (error.cause === undefined) return '';
  return `\nbecause of ${error.cause instanceof Error ? (error.cause.stack ?? error.cause.message) : String(error.cause)}`;
}
