import { existsSync, statSync } from 'node:fs';
import path from 'node:path';
import { UserError } from '../errors.ts';
import { shownPath } from './read-text-file.ts';

/** Faults of a file that is no text at all: most often the film itself, or the folder it lies in. */
const noText = ['not-text', 'not-a-file', 'file-too-large'];

/** What to do where a film, a picture or a folder stands for a run file; any other fault is given back as it is. */
export function notARunFile(fault: unknown, file: string): unknown {
  if (!(fault instanceof UserError) || !noText.includes(fault.code)) return fault;
  const facts = statSync(file, { throwIfNoEntry: false });
  if (facts === undefined || (!facts.isFile() && !facts.isDirectory())) return fault;
  const shown = shownPath(file);
  const inside = path.join(file, 'run.yaml');
  const what = facts.isDirectory() ? 'this is a folder' : 'this is not a text file (perhaps a film or a picture)';
  return new UserError({
    ...fault.details,
    message: `${what}; a run file was expected`,
    expected: 'a run file such as run.yaml',
    hint:
      facts.isDirectory() && existsSync(inside)
        ? `name the run file: ${shownPath(inside)}`
        : `vialapse rig ${shown} places the vials on it and saves a run file`,
    cause: fault,
  });
}
