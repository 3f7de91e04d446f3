import type { KeyPath } from './document.ts';
import type { RunFile } from './schemas/run.ts';

/** One file, folder or pattern of a run's source, as the run file lists it. */
export interface ListedPart {
  readonly file: string;
  readonly startsRunS: number | null;
  /** Where the file is named. */
  readonly key: KeyPath;
}

/** The parts of a source: one name, or a list of names and of `{ file, starts_run_s }`. */
export function listedParts(source: RunFile['source']): readonly ListedPart[] {
  if (typeof source === 'string') return [{ file: source, startsRunS: null, key: ['source'] }];
  return source.map((part, index) =>
    typeof part === 'string'
      ? { file: part, startsRunS: null, key: ['source', index] }
      : { file: part.file, startsRunS: part.starts_run_s ?? null, key: ['source', index, 'file'] },
  );
}
