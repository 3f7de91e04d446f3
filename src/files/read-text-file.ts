import { readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import { MachineError, UserError } from '../errors.ts';

/** Largest description file read, bytes. Chosen: a rig with a thumbnail of 1 MB still fits, a film named by mistake does not. */
const textSizeLimit = 4 * 1024 * 1024;

/** A file's name as a person at the prompt would write it: relative where that is shorter. */
export function shownPath(file: string): string {
  const relative = path.relative(process.cwd(), file);
  return relative !== '' && relative.length < file.length ? relative : file;
}

/**
 * The text of a small UTF-8 file, without byte order mark.
 * @throws UserError when it is missing, a folder, too large or not text; MachineError when the disk refuses.
 */
export async function readTextFile(file: string, limit: number = textSizeLimit): Promise<string> {
  const shown = shownPath(file);
  let bytes: Buffer;
  try {
    const facts = await stat(file);
    if (facts.isDirectory()) {
      throw new UserError({ code: 'not-a-file', message: 'this is a folder, a file was expected', file: shown });
    }
    // A device would be read for ever, a pipe waited for.
    if (!facts.isFile()) throw new UserError({ code: 'not-a-file', message: 'this is not a file', file: shown });
    if (facts.size > limit) {
      throw new UserError({
        code: 'file-too-large',
        message: 'the file is too large to be a description',
        file: shown,
        expected: `at most ${limit} bytes`,
        got: `${facts.size} bytes`,
        hint: 'check that this is not the film or a picture',
      });
    }
    bytes = await readFile(file);
  } catch (error) {
    throw readFault(error, shown);
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (cause) {
    throw new UserError({
      code: 'not-text',
      message: 'the file is not UTF-8 text',
      file: shown,
      hint: 'save it as UTF-8, or check that this is the right file',
      cause,
    });
  }
}

function readFault(error: unknown, shown: string): Error {
  if (error instanceof UserError) return error;
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    return new UserError({
      code: 'file-missing',
      message: 'there is no such file',
      file: shown,
      hint: 'check the path; paths inside a file are relative to that file',
    });
  }
  return new MachineError('cannot-read', `${shown} cannot be read: ${(error as Error).message}`, { cause: error });
}
