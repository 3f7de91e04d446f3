import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { encodeVideo } from '../../src/frames/index.ts';
import { bench, frame, picture, writeRunFile } from './bench.ts';

const program = path.resolve(import.meta.dirname, '..', '..', 'bin', 'vialapse');
const root = bench();

/** As job schedulers start programs: under a limit on virtual memory, kB (`ulimit -v`). The engine wants 10 GB for one kernel. */
function analyse(run: string, out: string, limit: string): { readonly code: number | null; readonly said: string } {
  const { status, stderr } = spawnSync(
    'sh',
    [
      ...['-c', `ulimit -v ${limit} && exec "$0" "$@"`, process.execPath, program],
      ...['analyse', run, '--out', path.join(root, out, 'small')],
    ],
    { encoding: 'utf8' },
  );
  return { code: status, said: stderr };
}

const trajectory = (out: string): string => readFileSync(path.join(root, out, 'small', 'trajectory.csv'), 'utf8');

// Only where the system keeps such a limit (macOS does not).
describe.runIf(process.platform === 'linux')('a limit on virtual memory', () => {
  it('costs the quick kernels only: the same numbers', async () => {
    const film = path.join(root, 'film.mp4');
    const pictures = Array.from({ length: 24 }, (_, index) => picture(Math.min(1, index / 12), index));
    await encodeVideo({ file: film, ...frame, framesPerSecond: 12, crf: 12 }, pictures);
    const run = writeRunFile(root, { source: 'film.mp4' });
    for (const [out, limit] of [
      ['free', 'unlimited'],
      ['limited', '8000000'],
    ] as const) {
      const { code, said } = analyse(run, out, limit);
      expect([0, 3], said).toContain(code);
      expect(said).not.toMatch(/fault of ours/);
    }
    expect(trajectory('limited')).toBe(trajectory('free'));
    expect(trajectory('free').split('\n').length).toBeGreaterThan(90);
  });
});
