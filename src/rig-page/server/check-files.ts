import path from 'node:path';
import { UserError } from '../../errors.ts';
import { checkShape } from '../../files/check-shape.ts';
import type { SourceDocument } from '../../files/document.ts';
import { keyText, type Finding } from '../../files/findings.ts';
import { rigFromDocument } from '../../files/load-rig.ts';
import { findReaction } from '../../files/reaction-file.ts';
import { rigFindings } from '../../files/rig-checks.ts';
import { runFindings } from '../../files/run-checks.ts';
import { rigSchema } from '../../files/schemas/rig.ts';
import { runSchema } from '../../files/schemas/run.ts';
import type { Problem } from '../messages.ts';

/** A value that never was text: all findings are equally near its top. */
const documentOf = (file: string, value: unknown): SourceDocument => ({ file, value, lineOf: () => 1 });

const sentence = (message: string, rest: readonly (string | undefined)[]): string =>
  [message.charAt(0).toUpperCase() + message.slice(1), ...rest.filter((part) => part !== undefined)].join('; ');

/** A refused shape as the one problem that its error tells first. */
function shapeProblem(file: Problem['file'], error: unknown): Problem {
  if (!(error instanceof UserError)) throw error;
  const { key, expected, hint } = error.details;
  // Lines mean nothing here, so where the others are is left out.
  const plainHint = hint?.replace(/\s*and \d+ more in this file: .*$/su, '');
  return {
    file,
    key: key ?? null,
    message: sentence(error.details.message, [
      expected === undefined ? undefined : `expected: ${expected}`,
      plainHint === undefined || plainHint === '' ? undefined : plainHint,
    ]),
  };
}

const problemOf =
  (file: Problem['file']) =>
  ({ key, message, expected, hint }: Finding): Problem => ({
    file,
    key: keyText(key),
    message: sentence(message, [expected === undefined ? undefined : `expected: ${expected}`, hint]),
  });

/** Everything the loaders of the two files would refuse; empty: they can be saved and analysed. */
export function checkFiles(rig: unknown, run: unknown, folder: string): readonly Problem[] {
  const rigDocument = documentOf('rig.json', rig);
  let written;
  try {
    written = checkShape(rigSchema, rigDocument);
  } catch (error) {
    return [shapeProblem('rig', error)];
  }
  const rigProblems = rigFindings(written).map(problemOf('rig'));
  if (rigProblems.length > 0) return rigProblems;
  try {
    const file = checkShape(runSchema, documentOf('run.yaml', run));
    const reaction = findReaction(file.reaction, folder);
    const findings = [
      ...runFindings(file, rigFromDocument(rigDocument, folder)),
      ...('finding' in reaction ? [reaction.finding] : []),
    ];
    return findings.map(problemOf('run'));
  } catch (error) {
    return [shapeProblem('run', error)];
  }
}

/** Why a name cannot be the run file's; `null`: it can. It must stay beside the rig. */
export function runFileProblem(name: string): string | null {
  if (name === '' || path.basename(name) !== name || /[\\/:*?"<>|\p{Cc}]/u.test(name) || name.startsWith('.')) {
    return 'Give the name of a file, without a folder.';
  }
  return /\.ya?ml$/iu.test(name) ? null : 'Give a name that ends in .yaml.';
}
