import { chmodSync, copyFileSync, mkdirSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ffmpegStamps } from '../../src/frames/ffmpeg-candidates.ts';
import { ffmpegVersion, findFfmpeg } from '../../src/frames/index.ts';
import { mendRunBit } from '../../src/frames/find-ffmpeg.ts';
import { passthroughArguments } from '../../src/frames/video/passthrough-arguments.ts';
import { scratch } from './media.ts';

const at = scratch();
const before = { ...process.env };
let carried: string;

beforeEach(async () => {
  delete process.env['FFMPEG_PATH'];
  carried = await findFfmpeg();
});
afterEach(() => {
  process.env = { ...before };
});

/** The ffmpeg at hand, copied without its run bit. */
function withoutRunBit(name: string): string {
  const file = at(name);
  mkdirSync(path.dirname(file), { recursive: true });
  copyFileSync(carried, file);
  chmodSync(file, 0o644);
  return file;
}

describe('a carried ffmpeg that lost its run bit', () => {
  it('gets it back', async () => {
    const file = withoutRunBit('lost/ffmpeg');
    expect(mendRunBit(file)).toBe(file);
    expect(statSync(file).mode & 0o111).not.toBe(0);
    expect(await findFfmpeg(file)).toBe(file);
  });

  it('is copied where the bit may not be set', async () => {
    const file = withoutRunBit('denied/ffmpeg');
    const mended = mendRunBit(file, () => {
      throw new Error('EPERM');
    });
    expect(mended).not.toBe(file);
    expect(await findFfmpeg(mended as string)).toBe(mended);
    expect(statSync(file).mode & 0o111).toBe(0);
  });

  it('is explained when neither works', () => {
    const problem = mendRunBit(at('nowhere/ffmpeg'));
    expect(problem).toMatchObject({ problem: expect.stringMatching(/run bit.*chmod \+x/) });
  });
});

describe('which ffmpeg is used', () => {
  it('FFMPEG_PATH before the PATH before the carried one', async () => {
    const [named, onPath] = [at('named/ffmpeg'), at('path/ffmpeg')];
    for (const file of [named, onPath]) {
      mkdirSync(path.dirname(file), { recursive: true });
      writeFileSync(file, `#!/bin/sh\necho "ffmpeg version 6.1.1-test Copyright"\n`);
      chmodSync(file, 0o755);
    }
    process.env['PATH'] = path.dirname(onPath) + path.delimiter + (before['PATH'] ?? '');
    expect(await findFfmpeg()).toBe(onPath);
    expect(await ffmpegVersion(onPath)).toBe('ffmpeg 6.1.1-test');
    process.env['FFMPEG_PATH'] = named;
    expect(await findFfmpeg()).toBe(named);
    expect(await findFfmpeg(carried)).toBe(carried);
  });

  it('one on the PATH that does not start, or is another program, is passed over', async () => {
    const file = at('bad/ffmpeg');
    mkdirSync(path.dirname(file));
    writeFileSync(file, '#!/bin/sh\necho hello\n');
    chmodSync(file, 0o755);
    process.env['PATH'] = path.dirname(file);
    expect(await findFfmpeg()).not.toBe(file);
  });

  it('one named by the user must start: nothing else is used in its place', async () => {
    process.env['FFMPEG_PATH'] = at('not-there');
    await expect(findFfmpeg()).rejects.toMatchObject({
      code: 'ffmpeg-missing',
      message: expect.stringContaining('not-there'),
    });
  });
});

describe('the stamps of what may be used', () => {
  it('change with another build in the same place and with another place, and with nothing else', () => {
    const file = at('stamped/ffmpeg');
    mkdirSync(path.dirname(file), { recursive: true });
    writeFileSync(file, 'one build');
    process.env['FFMPEG_PATH'] = file;
    const first = ffmpegStamps();
    expect(first).toEqual([expect.stringContaining(`${file} 9 `)]);
    expect(ffmpegStamps()).toEqual(first);
    writeFileSync(file, 'another build');
    expect(ffmpegStamps()).not.toEqual(first);
    delete process.env['FFMPEG_PATH'];
    process.env['PATH'] = '';
    const carriedOnly = ffmpegStamps();
    process.env['PATH'] = path.dirname(file);
    expect(ffmpegStamps()).toEqual([expect.stringContaining(`${file} 13 `), ...carriedOnly]);
  });
});

describe('every frame once, at its own time', () => {
  it.each([
    ['ffmpeg N-92722-gf22fcd4483', '-vsync'],
    ['ffmpeg 4.4.2-0ubuntu0.22.04.1', '-vsync'],
    ['ffmpeg 5.0.3', '-vsync'],
    ['ffmpeg n5.1', '-fps_mode'],
    ['ffmpeg 5.1.6-0+deb12u1', '-fps_mode'],
    ['ffmpeg 7.1', '-fps_mode'],
    ['ffmpeg n10.0', '-fps_mode'],
    ['ffmpeg N-118193-g5f38c82536', '-fps_mode'],
    ['ffmpeg 2024-12-19-git-494c961379-full_build', '-fps_mode'],
    ['ffmpeg', '-vsync'],
  ])('%s is told by %s', (version, option) => {
    expect(passthroughArguments(version)[0]).toBe(option);
  });
});
