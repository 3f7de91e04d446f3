import { existsSync, mkdirSync, readFileSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { crc32 } from 'node:zlib';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { encodeJpeg, encodePng, encodeVideo } from '../../src/frames/index.ts';
import { bench, frame, picture, vialapse, writeRunFile, writeStills } from './bench.ts';

const root = bench();
let count = 0;
function folder(): string {
  count += 1;
  const made = path.join(root, String(count));
  mkdirSync(made);
  return made;
}
const words = (text: string): string => text.replaceAll(/\s+/g, ' ');

/** A PNG whose header claims another size than it has. */
async function claiming(width: number, height: number): Promise<Buffer> {
  const png = Buffer.from(await encodePng(picture(0)));
  png.writeUInt32BE(width, 16);
  png.writeUInt32BE(height, 20);
  png.writeUInt32BE(crc32(png.subarray(12, 29)), 29);
  return png;
}

async function film(file: string, frames: number): Promise<void> {
  await encodeVideo(
    { file, ...frame, framesPerSecond: 10 },
    Array.from({ length: frames }, (_, index) => picture(1 - Math.exp(-index / 4), index)),
  );
}

describe('one frame only', () => {
  it.each(['stills', 'film.mp4'])('%s: preview refuses as analyse does, and nothing is written', async (source) => {
    const at = folder();
    if (source === 'stills') await writeStills(at, 1);
    else await film(path.join(at, source), 1);
    const run = writeRunFile(at, { source });
    const before = readdirSync(at);
    const [preview, analyse] = [await vialapse('preview', run), await vialapse('analyse', run)];
    expect([preview.code, analyse.code]).toEqual([2, 2]);
    expect(preview.err).toBe(analyse.err);
    expect(preview.err).toContain('vialapse match');
    expect(readdirSync(at)).toEqual(before);
  });

  it('at a glance, where the film has one key frame: told to leave --glance out', async () => {
    const at = folder();
    await film(path.join(at, 'film.mp4'), 12);
    const { code, err } = await vialapse('analyse', writeRunFile(at, { source: 'film.mp4' }), '--glance');
    expect(code).toBe(2);
    expect(words(err)).toMatch(/one key frame only, and --glance looks at nothing else .* leave --glance out/);
  });
});

describe('a folder of stills that holds other things', () => {
  it('links to nowhere, loops, devices and folders are frames rejected by name', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 30) });
    const stills = path.join(at, 'stills');
    symlinkSync('nowhere.jpg', path.join(stills, '100.jpg'));
    symlinkSync('101.jpg', path.join(stills, '101.jpg'));
    symlinkSync('/dev/zero', path.join(stills, '102.jpg'));
    symlinkSync('..', path.join(stills, '103.jpg'));
    const { code, out } = await vialapse('analyse', run, '--json');
    expect([0, 3]).toContain(code);
    const { frames } = (JSON.parse(out) as { run: { frames: { rejected: object[]; used: number } } }).run;
    expect(frames.used).toBe(30);
    expect(frames.rejected).toEqual([
      { index: 30, reason: 'stills/100.jpg: the file is missing, or a link to nowhere' },
      { index: 31, reason: 'stills/101.jpg: the file is missing, or a link to nowhere' },
      { index: 32, reason: 'stills/102.jpg: neither a file nor a link to one' },
      { index: 33, reason: 'stills/103.jpg: neither a file nor a link to one' },
    ]);
  });

  it('pictures that lie about their size', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 6) });
    writeFileSync(path.join(at, 'stills', '002.jpg'), await claiming(60_000, 60_000));
    const bomb = await vialapse('preview', run);
    expect(bomb.code).toBe(0);
    expect(words(bomb.err)).toContain("stills/002.jpg: it claims more pixels than any camera's picture has");
    expect(existsSync(path.join(at, 'small-preview-frames.png'))).toBe(true);
    writeFileSync(path.join(at, 'stills', '002.jpg'), await claiming(160, 9_600));
    const mixed = await vialapse('preview', run);
    expect(mixed.code).toBe(2);
    expect(mixed.err).toMatch(/stills\/002\.jpg: pictures of different sizes[^]*got: +160 x 9600/);
  });

  it('a CMYK picture, a thumbnail, a copy and the film of a live picture are told', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: await writeStills(at, 6) });
    const stills = path.join(at, 'stills');
    const printed = sharp(picture(0).data, { raw: { ...frame, channels: 3 } }).toColourspace('cmyk');
    writeFileSync(path.join(stills, '004.jpg'), await printed.jpeg().toBuffer());
    writeFileSync(path.join(stills, '001_thumb.jpg'), await sharp(path.join(stills, '001.jpg')).resize(40).toBuffer());
    writeFileSync(path.join(stills, '001 (1).jpg'), readFileSync(path.join(stills, '001.jpg')));
    writeFileSync(path.join(stills, '001.mov'), 'a film');
    const { code, err } = await vialapse('preview', run);
    expect(code).toBe(0);
    const said = words(err);
    expect(said).toContain('stills/004.jpg: a CMYK picture (made for printing); save it as RGB');
    expect(said).toContain(
      '1 of 8 pictures are small versions of others and were left out (first: stills/001_thumb.jpg)',
    );
    expect(said).toContain('1 of 8 pictures are copies of others by their names');
    expect(said).toContain('moving half of live pictures, first: 001.mov');
    expect(said).toMatch(/small: stills, 6 frames/);
  });

  it('names are only names', async () => {
    const at = folder();
    const run = writeRunFile(at, { source: 'stills' });
    mkdirSync(path.join(at, 'stills'));
    const names = [
      '-i',
      'a b',
      `q'uo"te`,
      'new\nline',
      '%d',
      'gl*b[1]?',
      '日本',
      '\u202egpj',
      '\u001b[31mred',
      '$(touch x)',
    ];
    for (const [index, name] of names.entries()) {
      const bytes =
        name.startsWith('\u001b') || name.startsWith('new') ? '' : await encodeJpeg(picture(0, index), { quality: 90 });
      writeFileSync(path.join(at, 'stills', `${name}.jpg`), bytes);
    }
    const { code, err } = await vialapse('preview', run);
    expect(code).toBe(0);
    expect(err).toContain('small: stills, 10 frames');
    expect(words(err)).toContain('2 of 10 frames looked at cannot be used');
    expect(err).not.toContain('\u001b');
    expect(err).toMatch(/stills\/(new\\u\{a\}line|\\u\{1b\}\[31mred)\.jpg: the file is empty/);
    expect(readdirSync(at).sort()).toEqual([
      'reaction.json',
      'rig.json',
      'run.yaml',
      'small-preview-frames.png',
      'small-preview.png',
      'stills',
    ]);
  });
});

describe('start', () => {
  it.each(['-o.mp4', `a b' "c.mp4`, '%03d.mp4', 'gl[1]b.mp4', '\u202e4pm.mp4', '$(touch x);.mp4'])(
    'on a film called %j writes a run that opens it',
    async (name) => {
      const at = folder();
      await film(path.join(at, name), 3);
      const started = await vialapse('start', path.join(at, name), '--interval', '20');
      expect(started.code, started.err).toBe(0);
      expect(started.err).not.toContain('\u202e');
      // The regions are placed: those that the file speaks of.
      const rigFile = path.join(at, 'rig.json');
      const rig = JSON.parse(readFileSync(rigFile, 'utf8')) as { regions: object[]; frame: object };
      expect(rig.frame).toEqual(frame);
      rig.regions = [1, 2, 3, 4, 5, 6].map((n) => ({
        id: `A${n}`,
        shape: 'rect',
        x: 24 * n - 12,
        y: 35,
        width: 16,
        height: 40,
      }));
      writeFileSync(rigFile, JSON.stringify(rig));
      const preview = await vialapse('preview', path.join(at, 'run.yaml'));
      expect(preview.code, preview.err).toBe(0);
      expect(preview.err).toContain('video, 3 frames');
    },
  );

  it('refuses a name that a run file cannot hold, before anything is written', async () => {
    const at = folder();
    const name = 'a\nsource: other.mp4';
    await film(path.join(at, name), 2);
    const { code, err } = await vialapse('start', path.join(at, name));
    expect(code).toBe(2);
    expect(words(err)).toMatch(/line break or another control character.*to do: rename it/);
    expect(readdirSync(at)).toEqual([name]);
  });

  it("on a camera's folder of numbered folders gives the pattern to use, and it works", async () => {
    const at = folder();
    for (const [index, below] of ['100SHOTS', '101SHOTS'].entries()) {
      mkdirSync(path.join(at, 'DCIM', below), { recursive: true });
      for (const n of [1, 2])
        writeFileSync(
          path.join(at, 'DCIM', below, `S${n}.jpg`),
          await encodeJpeg(picture(0, 2 * index + n), { quality: 90 }),
        );
    }
    const { code, err } = await vialapse('start', path.join(at, 'DCIM'));
    expect(code).toBe(2);
    expect(err).toContain('4 lie in folders below; give the pattern "DCIM/*/*.jpg"');
    expect((await vialapse('start', path.join(at, 'DCIM/*/*.jpg'), '--out', at)).code).toBe(0);
    expect(readFileSync(path.join(at, 'run.yaml'), 'utf8')).toMatch(/source: "?DCIM\/\*\/\*\.jpg"? .*4 frames/);
  });
});
