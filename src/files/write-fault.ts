import { MachineError, UserError } from '../errors.ts';
import { shownPath } from './read-text-file.ts';

const hints: Readonly<Record<string, string>> = {
  ENOSPC: 'free some space on that disk, then run again; what was there before is untouched',
  EDQUOT: 'your quota on that disk is used up; what was there before is untouched',
  EACCES: 'you may not write there: choose another folder with --out',
  EPERM: 'you may not write there: choose another folder with --out',
  EROFS: 'that disk is read-only: choose another folder with --out',
  ENAMETOOLONG: 'choose a shorter name',
};

/** The disk's refusal as an error of the machine; our own errors pass unchanged. */
export function writeFault(error: unknown, target: string): Error {
  if (error instanceof UserError || error instanceof MachineError) return error;
  const { code, message } = error as NodeJS.ErrnoException;
  if (code === undefined) return error as Error;
  return new MachineError('cannot-write', `${shownPath(target)} cannot be written: ${message}`, {
    hint: hints[code] ?? 'check that disk and folder',
    cause: error,
  });
}
