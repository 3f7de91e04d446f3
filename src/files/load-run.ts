import { existsSync, lstatSync } from 'node:fs';
import path from 'node:path';
import type { Run } from '../model/run.ts';
import { checkShape } from './check-shape.ts';
import { readDocument } from './document.ts';
import { refuse, type Finding } from './findings.ts';
import { loadRig } from './load-rig.ts';
import { notARunFile } from './not-a-run-file.ts';
import { findReaction } from './reaction-file.ts';
import { runFindings } from './run-checks.ts';
import { listedParts } from './listed-parts.ts';
import { defaultAlpha, doseOf, marginOf, recordOf, sourceParts, timingOf, vialOf } from './run-record.ts';
import { runSchema, type RunFile } from './schemas/run.ts';

export interface LoadRunOptions {
  /** True where the film need not be there yet (planning, placing regions). */
  readonly sourceMayBeMissing?: boolean;
  /** True where samples alone will do: what they are compared with stands in another run. */
  readonly samplesAlone?: boolean;
}

/**
 * Reads and checks a run file and its rig: defaults applied, paths absolute.
 * @throws UserError telling the first thing wrong by file, line and key, and how many more there are.
 */
export async function loadRun(file: string, options: LoadRunOptions = {}): Promise<Run> {
  const document = await readDocument(file).catch((fault: unknown) => {
    throw notARunFile(fault, file);
  });
  const written = checkShape(runSchema, document);
  const absolute = path.resolve(file);
  const folder = path.dirname(absolute);
  const rigFile = path.resolve(folder, written.rig);
  refuse(document, existsSync(rigFile) ? [] : [missingFile(['rig'], written.rig, rigFile)]);
  const rig = await loadRig(rigFile);
  const reaction = findReaction(written.reaction, folder);
  refuse(document, [
    ...runFindings(written, rig, options.samplesAlone ?? false),
    ...('finding' in reaction ? [reaction.finding] : []),
    ...fileFindings(written, folder, options.sourceMayBeMissing ?? false),
  ]);
  const absent = (relative: string | undefined): string | null =>
    relative === undefined ? null : path.resolve(folder, relative);
  return {
    name: written.name,
    file: absolute,
    rigFile,
    rig,
    source: sourceParts(written.source, folder),
    timing: timingOf(written.timing),
    reaction: { name: written.reaction, file: 'file' in reaction ? reaction.file : '' },
    readAtS: written.read_at_s ?? null,
    alpha: written.alpha ?? defaultAlpha,
    margin: marginOf(written),
    transfer: written.transfer ?? 'srgb',
    pathFile: absent(written.path),
    planFile: absent(written.plan),
    temperatureFile: absent(written.temperature),
    events: (written.events ?? []).map(({ at_run_s, what, region }) => ({
      atRunS: at_run_s,
      what,
      region: region ?? null,
    })),
    record: recordOf(written.record),
    dose: written.dose === undefined ? null : doseOf(written.dose),
    vials: written.vials.map(vialOf),
  };
}

/** As frames/ reads patterns: only * and ? make one. */
const isGlob = (file: string): boolean => /[*?]/.test(file);

function fileFindings(run: RunFile, folder: string, sourceMayBeMissing: boolean): Finding[] {
  const named: { readonly key: Finding['key']; readonly file: string }[] = [];
  if (run.path !== undefined) named.push({ key: ['path'], file: run.path });
  if (run.plan !== undefined) named.push({ key: ['plan'], file: run.plan });
  if (run.temperature !== undefined) named.push({ key: ['temperature'], file: run.temperature });
  if (!sourceMayBeMissing) {
    named.push(...listedParts(run.source));
  }
  return named
    .filter(({ file }) => !existsSync(path.resolve(folder, file)) && !isGlob(file))
    .map(({ key, file }) => missingFile(key, file, path.resolve(folder, file)));
}

function missingFile(key: Finding['key'], file: string, absolute: string): Finding {
  const link = lstatSync(absolute, { throwIfNoEntry: false })?.isSymbolicLink() ?? false;
  return {
    code: 'file-missing',
    key,
    message: link ? `"${file}" is a link to something that is not there` : `there is no file or folder "${file}"`,
    hint: missingHint(file),
  };
}

/** What is written by habit from elsewhere is answered in its own terms. */
function missingHint(file: string): string {
  const numbered = file.replace(/%0?\d*d/, '*');
  if (numbered !== file) return `numbered pictures are given by a pattern with a star: "${numbered}"`;
  if (/^[a-z]{2,}:\/\//i.test(file)) return 'films are read from a disk: fetch it first, then give the file';
  return 'paths are relative to the run file';
}
