import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import type { Finding } from './findings.ts';
import { nearest } from './nearest.ts';
import { reactionsFolder } from './project-root.ts';

/** Names of the reactions that come with the tool, sorted. */
export function knownReactions(): readonly string[] {
  return readdirSync(reactionsFolder)
    .filter((name) => name.endsWith('.json'))
    .map((name) => name.slice(0, -'.json'.length))
    .sort();
}

/** Finds the file of a reaction given by name or, with a slash or .json in it, by a path relative to `folder`. */
export function findReaction(
  written: string,
  folder: string,
): { readonly file: string } | { readonly finding: Finding } {
  const isPath = /[\\/]|\.json$/.test(written);
  const file = isPath ? path.resolve(folder, written) : path.join(reactionsFolder, `${written}.json`);
  if (existsSync(file)) return { file };
  const known = knownReactions();
  const near = isPath ? null : nearest(written, known);
  return {
    finding: {
      code: isPath ? 'file-missing' : 'unknown-reaction',
      key: ['reaction'],
      message: isPath ? `there is no file "${written}"` : `there is no reaction "${written}"`,
      expected: isPath ? undefined : known.join(', '),
      hint: near === null ? 'name one of shared/reactions, or the path of your own' : `did you mean "${near}"?`,
    },
  };
}
