import { hashFile } from './hash-file.ts';

/** Hashes of files, begun as soon as a file is known to be wanted: ffmpeg looks into a film meanwhile. */
export interface EarlyHashes {
  begin(file: string): void;
  /** The file's hash, whether begun or not. */
  of(file: string): Promise<string>;
  /** Nothing more is wanted of them. */
  stop(): void;
}

export function earlyHashes(): EarlyHashes {
  const stopping = new AbortController();
  const begun = new Map<string, Promise<string>>();
  return {
    begin(file) {
      if (begun.has(file)) return;
      const hash = hashFile(file, stopping.signal);
      hash.catch(() => undefined); // Told by `of`.
      begun.set(file, hash);
    },
    of: (file) => begun.get(file) ?? hashFile(file),
    stop: () => stopping.abort(),
  };
}
