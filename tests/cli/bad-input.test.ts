import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { encodeVideo } from '../../src/frames/index.ts';
import { bench, frame, picture, region, vialapse, writeRunFile, writeStills } from './bench.ts';

const root = bench();
let film: Buffer;
let count = 0;
function folder(): string {
  count += 1;
  const made = path.join(root, String(count));
  mkdirSync(made);
  return made;
}

beforeAll(async () => {
  const file = path.join(root, 'film.mp4');
  await encodeVideo(
    { file, ...frame, framesPerSecond: 10, crf: 10 },
    Array.from({ length: 30 }, (_, index) => picture(1 - Math.exp(-index / 6))),
  );
  film = readFileSync(file);
});

/** Analyses a run whose film has these bytes. */
async function withFilm(bytes: Uint8Array) {
  const at = folder();
  writeFileSync(path.join(at, 'film.mp4'), bytes);
  const answer = await vialapse('analyse', writeRunFile(at, { source: 'film.mp4' }));
  return { ...answer, wrote: existsSync(path.join(at, 'reports')) };
}

describe('films that are none', () => {
  it.each<[string, () => Uint8Array]>([
    ['an empty file', () => new Uint8Array(0)],
    ['random bytes', () => Uint8Array.from({ length: 20_000 }, (_, index) => (index * 7919) % 251)],
    ['a film cut off before its index', () => film.subarray(0, Math.floor(film.length / 2))],
    ['a text', () => Buffer.from('not a film\n')],
  ])('answers %s with 2, one message, nothing written', async (_, bytes) => {
    const { code, out, err, wrote } = await withFilm(bytes());
    expect([code, out, wrote]).toEqual([2, '', false]);
    expect(err).toContain('film.mp4');
    expect(err).not.toMatch(/fault of ours|at .*\.ts/);
  });
});

describe('ffmpeg', () => {
  const before = process.env['FFMPEG_PATH'];
  afterEach(() => {
    if (before === undefined) delete process.env['FFMPEG_PATH'];
    else process.env['FFMPEG_PATH'] = before;
  });

  it('missing ends with 1 and says how to get it', async () => {
    process.env['FFMPEG_PATH'] = '/nowhere/ffmpeg';
    const { code, err, wrote } = await withFilm(film);
    expect([code, wrote]).toEqual([1, false]);
    expect(err).toContain('FFMPEG_PATH');
  });
});

describe('rigs and vials that do not fit', () => {
  it.each<[string, object, string]>([
    ['a rig of another frame size', { frame: { width: 320, height: 192 } }, '160 x 96'],
    [
      'a region outside the frame',
      { regions: [region('A1', 0), region('A2', 1), region('A3', 2), region('A4', 4)] },
      'outside the frame',
    ],
    [
      'two regions on one vial',
      { regions: [region('A1', 0), region('A2', 1), region('A3', 1), region('A4', 3)] },
      'lie on one another',
    ],
    ['no region at all', { regions: [] }, 'no vial has been placed yet'],
  ])('refuses %s, in analyse and preview', async (_, rig, message) => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 3), rig });
    const before = readdirSync(at);
    for (const verb of ['preview', 'analyse']) {
      const { code, err } = await vialapse(verb, run);
      expect(code, verb).toBe(2);
      expect(err, verb).toContain(message);
    }
    expect(readdirSync(at)).toEqual(before);
  });
});

describe('stills', () => {
  it('one alone is refused: nothing can be followed over time', async () => {
    const at = folder();
    const { code, err } = await vialapse('analyse', writeRunFile(at, { source: await writeStills(at, 1) }));
    expect(code).toBe(2);
    expect(err).toContain('only one frame');
    expect(err).toContain('to do:');
    expect(readdirSync(at).sort()).toEqual(['reaction.json', 'rig.json', 'run.yaml', 'stills']);
  });

  it('with an empty file among them are analysed, and the empty one is named', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 30) });
    writeFileSync(path.join(at, 'stills', '012.jpg'), '');
    const { code, out } = await vialapse('analyse', run, '--json');
    expect([0, 3]).toContain(code);
    const result = JSON.parse(out) as {
      run: { frames: { read: number; used: number; rejected: { index: number; reason: string }[] } };
    };
    expect(result.run.frames).toMatchObject({ read: 30, used: 29, rejected: [{ index: 12 }] });
    const preview = await vialapse('preview', run);
    expect(preview.code).toBe(0);
    expect(preview.err).toContain('cannot be used');
  });
});

describe('--out', () => {
  it('on a folder that is not ours is refused at once and touches nothing', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 3) });
    mkdirSync(path.join(at, 'mine'));
    writeFileSync(path.join(at, 'mine', 'thesis.txt'), 'years of work');
    const { code, err } = await vialapse('analyse', run, '--out', path.join(at, 'mine'));
    expect(code).toBe(2);
    expect(err).toContain('was not changed');
    expect(readdirSync(path.join(at, 'mine'))).toEqual(['thesis.txt']);
    expect(existsSync(path.join(at, '.vialapse'))).toBe(false);
  });
});

describe('start', () => {
  it('writes two files that are asked to be filled in, and never writes over them', async () => {
    const at = folder();
    await writeStills(at, 3);
    expect((await vialapse('start', path.join(at, 'stills'))).code).toBe(0);
    expect(readdirSync(at).sort()).toEqual(['rig.json', 'run.yaml', 'stills']);
    const blank = await vialapse('preview', path.join(at, 'run.yaml'));
    expect(blank.code).toBe(2);
    expect(blank.err).toContain('"interval_s" is left blank');
    writeFileSync(path.join(at, 'run.yaml'), 'mine');
    expect((await vialapse('start', path.join(at, 'stills'))).code).toBe(2);
    expect(readFileSync(path.join(at, 'run.yaml'), 'utf8')).toBe('mine');
    expect((await vialapse('start', path.join(at, 'stills'), '--force', '--interval', '60')).code).toBe(0);
    const unplaced = await vialapse('preview', path.join(at, 'run.yaml'));
    expect(unplaced.err).toContain('no vial has been placed yet');
  });
});
