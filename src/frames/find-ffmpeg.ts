import { execFile } from 'node:child_process';
import { accessSync, chmodSync, constants, copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { MachineError } from '../errors.ts';
import { ffmpegCandidates } from './ffmpeg-candidates.ts';

const run = promisify(execFile);
const hint =
  'set FFMPEG_PATH to an ffmpeg program, or put ffmpeg on the PATH, or install the optional packages (npm ci without --omit=optional); folders of stills need no ffmpeg';

/**
 * The ffmpeg to use: `explicit` or FFMPEG_PATH, then the PATH, then the one carried as an optional package (whose lost
 * run bit is mended, or which is copied where that is not permitted).
 * @throws MachineError `ffmpeg-missing` when there is none that starts.
 */
export async function findFfmpeg(explicit?: string | null): Promise<string> {
  const { named, onPath, carried } = ffmpegCandidates(explicit);
  if (named !== null) {
    const problem = await startProblem(named);
    if (problem === null) return named;
    throw new MachineError('ffmpeg-missing', `the ffmpeg named by you does not start: ${named} (${problem})`, { hint });
  }
  const tried: string[] = [];
  for (const candidate of onPath) {
    const problem = await startProblem(candidate);
    if (problem === null) return candidate;
    tried.push(`${candidate}: ${problem}`);
  }
  if (carried !== null) {
    const mended = mendRunBit(carried);
    const problem = typeof mended === 'string' ? await startProblem(mended) : mended.problem;
    if (problem === null) return mended as string;
    tried.push(`${carried}: ${problem}`);
  }
  const detail = tried.length === 0 ? '' : ` (tried ${tried.join('; ')})`;
  throw new MachineError('ffmpeg-missing', `reading or writing video needs ffmpeg, and none was found${detail}`, {
    hint,
  });
}

const started = new Map<string, { readonly problem: string | null; readonly version: string }>();

/** First words of `ffmpeg -version`, such as `ffmpeg 4.4.2`. */
export async function ffmpegVersion(program: string): Promise<string> {
  await startProblem(program);
  return started.get(program)?.version ?? 'ffmpeg';
}

async function startProblem(program: string): Promise<string | null> {
  const known = started.get(program);
  if (known !== undefined) return known.problem;
  let answer: { readonly problem: string | null; readonly version: string };
  try {
    const { stdout } = await run(program, ['-hide_banner', '-version'], { timeout: 30_000 });
    const found = /^ffmpeg version (\S+)/.exec(stdout);
    answer =
      found === null
        ? { problem: 'it does not answer like ffmpeg', version: '' }
        : { problem: null, version: `ffmpeg ${found[1]!.replace(/-https?:.*$/, '')}` };
  } catch (error) {
    answer = { problem: (error as NodeJS.ErrnoException).code?.toString() ?? 'it failed', version: '' };
  }
  if (answer.problem === null) started.set(program, answer);
  return answer.problem;
}

/** Some unpackers lose the run bit. Set it, or where the folder is not ours, use a copy. */
export function mendRunBit(
  program: string,
  chmod: (file: string, mode: number) => void = chmodSync,
): string | { readonly problem: string } {
  if (canRun(program)) return program;
  try {
    chmod(program, 0o755);
    if (canRun(program)) return program;
  } catch {
    // Not permitted: a copy may be.
  }
  try {
    const copy = path.join(mkdtempSync(path.join(os.tmpdir(), 'vialapse-ffmpeg-')), path.basename(program));
    copyFileSync(program, copy);
    chmodSync(copy, 0o755);
    const folder = path.dirname(copy);
    process.once('exit', () => rmQuietly(folder));
    return copy;
  } catch (error) {
    return {
      problem: `it has lost its run bit, and neither setting it nor a copy worked (${(error as Error).message}); try: chmod +x "${program}"`,
    };
  }
}

function rmQuietly(folder: string): void {
  try {
    rmSync(folder, { recursive: true, force: true });
  } catch {
    // The system clears its temporary folder.
  }
}

function canRun(program: string): boolean {
  try {
    accessSync(program, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
