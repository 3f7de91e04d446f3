import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { encodeJpeg } from '../../src/frames/index.ts';
import { openAccess } from '../../src/rig-page/index.ts';
import { drawnSize, drawRack, liquidOf } from './drawn-rack.ts';
import { temporaryFolder } from './serve.ts';

describe('a source by frame number', () => {
  it('opens a folder of stills, with and without the clock of the camera', async () => {
    const folder = temporaryFolder();
    for (const index of [0, 1, 2]) {
      const exif = { dateTimeOriginal: `2026:03:01 20:0${index}:00` };
      const jpeg = await encodeJpeg(drawRack(index * 19), { quality: 95, exif });
      writeFileSync(path.join(folder, `still-${index}.jpg`), jpeg);
    }
    const access = await openAccess(folder);
    expect(access.facts).toMatchObject({ kind: 'stills', ...drawnSize, frames: 3, playbackS: null, clockLengthS: 120 });
    const { x, y } = liquidOf(0, 1);
    const redAt = async (index: number): Promise<number> => {
      const image = await access.still(index);
      return image.data[3 * ((y + 45) * image.width + x + 45)]!;
    };
    const reds = [await redAt(0), await redAt(1), await redAt(2)];
    expect(reds[0]! > reds[1]! && reds[1]! > reds[2]!).toBe(true);
    await access.close();
  });

  it('says what is wrong with a source that is none', async () => {
    await expect(openAccess(path.join(temporaryFolder(), 'nothing.mp4'))).rejects.toThrow(/nothing\.mp4/u);
  });
});
