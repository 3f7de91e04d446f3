import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { contentKey } from './measurement-key.ts';
import { packColumns, unpackColumns, type NumberColumn } from './packed-columns.ts';
import { writeFileAtomically } from './write-file-atomically.ts';

/** Where what was worked out from a measurement is kept, and by which code. */
export interface KeptPlace {
  /** The measurement's own folder. */
  readonly folder: string;
  /** Changes with any line of the program: other code may come to other numbers. */
  readonly codeId: string;
}

interface KeptRecord {
  readonly schema: 'vialapse/kept-step@1';
  readonly key: string;
  readonly value: unknown;
}

/**
 * The outcome of a step: the kept one in `<folder>/<name>.bin` when it came from the same `dependsOn` by the same code on
 * the same kind of machine, otherwise made anew and kept in its place. Either way it is the outcome as it reads back
 * (not a number: `null`; no value: key absent), so that both give the same bytes. `place` `null`: nothing is kept.
 * A file that is missing, damaged or of another key is made anew; one that cannot be written only costs time later.
 */
export async function keptStep<T>(
  place: KeptPlace | null,
  name: string,
  dependsOn: unknown,
  make: () => T,
): Promise<T> {
  if (place === null) return settled(pack('', make()), '') as T;
  // The last bits of logarithms and powers are the engine's.
  const { v8 } = process.versions;
  const key = contentKey({ name, dependsOn, code: place.codeId, machine: [v8, process.platform, process.arch] });
  const file = path.join(place.folder, `${name}.bin`);
  const before = await readFile(file).catch(() => null);
  const kept = before === null ? undefined : settled(before, key);
  if (kept !== undefined) return kept as T;
  const bytes = pack(key, make());
  await writeFileAtomically(file, bytes).catch(() => undefined);
  return settled(bytes, key) as T;
}

const pack = (key: string, value: unknown): Buffer =>
  packColumns({ schema: 'vialapse/kept-step@1', key, value } satisfies KeptRecord, asTheyAre);

function asTheyAre(column: NumberColumn): Float64Array {
  return Float64Array.from(column, (value) => value ?? NaN);
}

/** The outcome as it reads back; `undefined`: damaged, or of another key. */
function settled(bytes: Buffer, key: string): unknown {
  const record = unpackColumns(bytes)?.value as KeptRecord | undefined;
  return record?.schema === 'vialapse/kept-step@1' && record.key === key ? record.value : undefined;
}
