import { existsSync, statSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';

/** Every ffmpeg that may be used, in the order of trying; nothing is started. */
export interface FfmpegCandidates {
  /** `explicit` or FFMPEG_PATH: then no other counts. */
  readonly named: string | null;
  readonly onPath: readonly string[];
  /** That of the optional package. */
  readonly carried: string | null;
}

export function ffmpegCandidates(explicit?: string | null): FfmpegCandidates {
  const named = explicit ?? process.env['FFMPEG_PATH'];
  if (named !== undefined && named !== '') return { named, onPath: [], carried: null };
  return { named: null, onPath: candidatesOnPath(), carried: carriedFfmpeg() };
}

/** Path, size and time of each: another program, or another build in its place, has another stamp. */
export function ffmpegStamps(): readonly string[] {
  const { named, onPath, carried } = ffmpegCandidates();
  return [named, ...onPath, carried].flatMap((file) => {
    if (file === null) return [];
    const facts = statSync(file, { bigint: true, throwIfNoEntry: false });
    return [`${file} ${facts?.size ?? 'none'} ${facts?.mtimeNs ?? ''}`];
  });
}

function candidatesOnPath(): readonly string[] {
  const name = process.platform === 'win32' ? 'ffmpeg.exe' : 'ffmpeg';
  return (process.env['PATH'] ?? '')
    .split(path.delimiter)
    .filter((folder) => folder !== '' && path.isAbsolute(folder))
    .map((folder) => path.join(folder, name))
    .filter((file) => existsSync(file) && statSync(file).isFile());
}

function carriedFfmpeg(): string | null {
  try {
    const carried = createRequire(import.meta.url)('@ffmpeg-installer/ffmpeg') as { readonly path: string };
    return carried.path;
  } catch {
    return null; // Not installed, or none for this platform (the package throws then).
  }
}
