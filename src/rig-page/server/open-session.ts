import { existsSync } from 'node:fs';
import path from 'node:path';
import { UserError } from '../../errors.ts';
import { readDocument } from '../../files/document.ts';
import { loadReaction } from '../../files/load-reaction.ts';
import { loadRig } from '../../files/load-rig.ts';
import { findReaction, knownReactions } from '../../files/reaction-file.ts';
import type { PlainObject, SourceFacts, Start } from '../messages.ts';

/** Whether a rig has vials placed; `start` writes one that has none. */
const hasRegions = (rig: PlainObject | null): boolean => {
  const regions = rig?.['regions'];
  return Array.isArray(regions) && regions.length > 0;
};

/** A path as a run file in `folder` names it. */
const referenceTo = (file: string, folder: string): string => {
  const relative = path.relative(folder, file).split(path.sep).join('/');
  return relative === '' ? '.' : relative;
};

async function openRig(rigFile: string, facts: SourceFacts): Promise<PlainObject | null> {
  if (!existsSync(rigFile)) return null;
  const { frame } = await loadRig(rigFile, { mayBeEmpty: true });
  if (frame.width !== facts.width || frame.height !== facts.height) {
    throw new UserError({
      code: 'frame-size-differs',
      message: 'this rig was placed on frames of another size',
      file: rigFile,
      key: 'frame',
      expected: `${facts.width} x ${facts.height}, as ${facts.name} has`,
      got: `${frame.width} x ${frame.height}`,
      hint: 'give another file with --out to place a new rig',
    });
  }
  return (await readDocument(rigFile)).value as PlainObject;
}

/**
 * The run file beside the rig, if it is of this source, also half filled as `start` writes it: the page asks for the rest.
 * A run of another film is left alone.
 */
async function openRun(runFile: string, source: string): Promise<PlainObject | null> {
  if (!existsSync(runFile)) return null;
  const { value } = await readDocument(runFile);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return null;
  const run = value as PlainObject;
  return run['source'] === source ? run : null;
}

/** First of `run.yaml`, `<source>.yaml`, `<source>-2.yaml`, … that is free. */
function freeRunFile(folder: string, sourceFile: string): string {
  const stem = path.basename(sourceFile).replace(/\.[^.]*$/u, '');
  const names = ['run.yaml', `${stem}.yaml`];
  for (let number = 2; ; number += 1) {
    const free = names.find((name) => !existsSync(path.join(folder, name)));
    if (free !== undefined) return free;
    names.push(`${stem}-${number}.yaml`);
  }
}

/**
 * What the page starts with. A rig and a run of the same source that are there already are opened for editing.
 * `find` null: vials are looked for when none is placed yet.
 * @throws UserError when they are there but not valid.
 */
export async function openSession(
  facts: SourceFacts,
  files: { readonly sourceFile: string; readonly rigFile: string },
  find: boolean | null,
): Promise<Start> {
  const folder = path.dirname(files.rigFile);
  const source = referenceTo(files.sourceFile, folder);
  const rig = await openRig(files.rigFile, facts);
  const run = await openRun(path.join(folder, 'run.yaml'), source);
  const reactions = [];
  for (const name of knownReactions()) {
    const found = findReaction(name, folder);
    if ('file' in found) reactions.push({ name, title: (await loadReaction(found.file)).title });
  }
  return {
    source: facts,
    files: {
      rig: path.basename(files.rigFile),
      run: run === null ? freeRunFile(folder, files.sourceFile) : 'run.yaml',
    },
    references: { source, rig: path.basename(files.rigFile) },
    rig,
    run,
    reactions,
    find: find ?? !hasRegions(rig),
  };
}
