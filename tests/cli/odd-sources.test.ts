import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { encodePng } from '../../src/frames/index.ts';
import { bench, frame, picture, vialapse, writeRunFile } from './bench.ts';

const root = bench();
let count = 0;

/** What `preview` says of a source made in a folder of its own; spaces as one. */
async function said(source: string, make: (folder: string) => unknown): Promise<string> {
  const folder = path.join(root, `odd-${++count}`);
  mkdirSync(folder);
  await make(folder);
  const { code, err } = await vialapse('preview', writeRunFile(folder, { source }));
  expect(code, err).toBe(2);
  return err.replaceAll(/\s+/g, ' ');
}

describe('a source that is not what it is called is answered by what it is', () => {
  it.each([
    ['a ZIP archive', Buffer.concat([Buffer.from('PK\x03\x04'), Buffer.alloc(600, 7)]), /unpack it/],
    ['a TAR archive', Buffer.concat([Buffer.alloc(257, 97), Buffer.from('ustar'), Buffer.alloc(600)]), /unpack it/],
    ['a web page', Buffer.from('\n<!DOCTYPE html><html><title>Sign in</title></html>'), /download failed/],
    ['a PDF document', Buffer.from('%PDF-1.7\n'), /give the film itself/],
  ])('%s', async (what, bytes, hint) => {
    const words = await said('film.mp4', (folder) => writeFileSync(path.join(folder, 'film.mp4'), bytes));
    expect(words).toContain(`film.mp4: this is ${what}, not a film`);
    expect(words).toMatch(hint);
  });

  it('noise has no known format, and no word of the inside of films', async () => {
    const noise = Buffer.from(Array.from({ length: 4000 }, (_, i) => (i * 7919 + (i >> 3) * 31) & 255));
    const words = await said('film.mp4', (folder) => writeFileSync(path.join(folder, 'film.mp4'), noise));
    expect(words).toMatch(/cannot read this file as a film.*got: no known format/);
    expect(words).not.toMatch(/moov|atom/);
  });
});

describe('a source that is not there says what was probably meant', () => {
  it('a numbered pattern of other programs', async () => {
    expect(await said('shots/IMG_%04d.jpg', () => undefined)).toMatch(
      /to do: .*pattern with a star: "shots\/IMG_\*\.jpg"/,
    );
  });

  it('an address', async () => {
    expect(await said('https://example.org/film.mp4', () => undefined)).toMatch(/to do: .*fetch it first/);
  });

  it('a link to nowhere', async () => {
    const words = await said('film.mp4', (folder) => symlinkSync('gone.mp4', path.join(folder, 'film.mp4')));
    expect(words).toMatch(/"film\.mp4" is a link to something that is not there/);
  });
});

describe('a folder without pictures says what is in it', () => {
  const filled =
    (...names: readonly string[]) =>
    (folder: string) => {
      mkdirSync(path.join(folder, 'night'));
      for (const name of names) writeFileSync(path.join(folder, 'night', name), 'x');
    };

  it('raw files of a camera', async () => {
    const words = await said('night', filled('IMG_1.CR2', 'IMG_2.CR2', '._IMG_1.CR2'));
    expect(words).toMatch(
      /no pictures here.*got: 2 raw files of a camera \(first: IMG_1\.CR2\).*develop them all with the same settings/,
    );
  });

  it('films', async () => {
    const words = await said('night', filled('b10.mp4', 'b9.mp4', 'b11.mp4'));
    expect(words).toMatch(/got: 3 films \(first: b9\.mp4\).*source: \[night\/b9\.mp4, night\/b10\.mp4, \.\.\.\]/);
  });
});

describe('a file of several pictures', () => {
  const pages = async (ending: 'webp' | 'tif'): Promise<Buffer> => {
    const shots = [0, 0.3, 0.6].map((share, index) => picture(share, index).data);
    const raw = { width: frame.width, height: 3 * frame.height, channels: 3 as const, pageHeight: frame.height };
    const image = sharp(Buffer.concat(shots), { raw });
    return ending === 'webp' ? image.webp().toBuffer() : image.tiff().toBuffer();
  };

  it.each(['webp', 'tif'] as const)('is refused by name: %s', async (ending) => {
    const words = await said('shots', async (folder) => {
      mkdirSync(path.join(folder, 'shots'));
      for (const index of [0, 1]) writeFileSync(path.join(folder, 'shots', `${index}.${ending}`), await pages(ending));
    });
    expect(words).toMatch(/3 pictures in one file \(an animation, or pages\); save each/);
  });

  it('one picture among good ones is left out by name', async () => {
    const folder = path.join(root, 'one-animation');
    mkdirSync(path.join(folder, 'shots'), { recursive: true });
    for (let index = 0; index < 6; index++)
      writeFileSync(path.join(folder, 'shots', `${index}.png`), await encodePng(picture(index / 6, index)));
    writeFileSync(path.join(folder, 'shots', '6.webp'), await pages('webp'));
    const { code, err } = await vialapse('preview', writeRunFile(folder, { source: 'shots' }));
    expect(code).toBe(0);
    expect(err.replaceAll(/\s+/g, ' ')).toMatch(/shots\/6\.webp: 3 pictures in one file/);
  });
});
