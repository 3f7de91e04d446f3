import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import type { SourceInfo } from '../model/frame.ts';
import type { SourcePart, Timing } from '../model/run.ts';
import { measurementSchema } from './schemas/measurement.ts';
import { writeFileAtomically } from './write-file-atomically.ts';

/** What a source is opened with; another question gets another answer. */
export interface SourceQuestion {
  readonly parts: readonly SourcePart[];
  readonly timing: Timing;
  readonly baseDir: string;
  readonly glance: boolean;
  readonly untilRunS: number | null;
  readonly version: string;
  /** Changes with any line of what measures; `null` unknown. */
  readonly measuringId: string | null;
  /** Stamps of the decoders that may be used: another one may see other frames. */
  readonly decoders: readonly string[];
}

/**
 * A file changed this shortly before it was looked at may be changed again within one tick of the disk's clock: it is
 * not trusted. Chosen: the coarsest common clock (FAT) ticks every two seconds.
 */
const freshMs = 3000;

const knownSchema = z.strictObject({
  schema: z.literal('vialapse/known-source@1'),
  files: z.array(z.strictObject({ file: z.string(), seen: z.string() })),
  source: measurementSchema.shape.source,
});

/**
 * What an unchanged source was found to hold, its content hashes among it, so that a film of many gigabytes need not be
 * read to learn that it is still the same. Unchanged: every file and folder has the same number, size, and times of
 * content and of status (which no program can set back). Otherwise `null`, and the content decides.
 */
export async function readKnownSource(cacheDir: string, question: SourceQuestion): Promise<SourceInfo | null> {
  try {
    const text = await readFile(knownFile(cacheDir, question), 'utf8');
    const known = knownSchema.parse(JSON.parse(text));
    for (const { file, seen } of known.files) {
      if ((await look(path.resolve(question.baseDir, file)))?.seen !== seen) return null;
    }
    return known.source;
  } catch {
    return null; // None, or damaged.
  }
}

/** Looks at the files of a source before it is opened; `keep` remembers what was found, if no file changed meanwhile. */
export async function watchSource(
  cacheDir: string,
  question: SourceQuestion,
): Promise<{ readonly keep: (source: SourceInfo) => Promise<void> }> {
  const now = Date.now();
  const named = question.parts.map(({ file }) => file);
  const before = new Map(await Promise.all(named.map(async (file) => [file, await look(file)] as const)));
  return {
    keep: async (source) => {
      const read = source.inputs.map(({ path: shown }) => path.resolve(question.baseDir, shown));
      const files = [...new Set([...named, ...read])];
      const entries: { file: string; seen: string }[] = [];
      for (const file of files) {
        const found = await look(file);
        const first = before.get(file);
        // A pattern names no file; a picture of a folder was not looked at before: both are told by their times.
        if (found === null || (first !== undefined && first?.seen !== found.seen)) return;
        if (found.changedMs > now - freshMs) return;
        entries.push({ file: path.relative(question.baseDir, file).split(path.sep).join('/'), seen: found.seen });
      }
      const known = { schema: 'vialapse/known-source@1', files: entries, source };
      await writeFileAtomically(knownFile(cacheDir, question), `${JSON.stringify(known)}\n`);
    },
  };
}

function knownFile(cacheDir: string, { parts, baseDir, ...rest }: SourceQuestion): string {
  const named = parts.map(({ file, startsRunS }) => [path.relative(baseDir, file), startsRunS]);
  // Runs in folders of their own often name their films alike; places are told from the reports, so that all may move together.
  const key = createHash('sha256')
    .update(JSON.stringify([path.relative(cacheDir, baseDir), named, rest]))
    .digest('hex')
    .slice(0, 32);
  return path.join(cacheDir, 'sources', `${key}.json`);
}

async function look(file: string): Promise<{ readonly seen: string; readonly changedMs: number } | null> {
  const facts = await stat(file, { bigint: true }).catch(() => null);
  if (facts === null) return null;
  const { dev, ino, size, mtimeNs, ctimeNs } = facts;
  const newest = mtimeNs > ctimeNs ? mtimeNs : ctimeNs;
  return { seen: [dev, ino, size, mtimeNs, ctimeNs].join(' '), changedMs: Number(newest / 1_000_000n) };
}
