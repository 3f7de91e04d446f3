import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { count, cutting, interval, playback } from './cuts.ts';
import { collect, ffmpeg, height, open, scratch, width } from './media.ts';

const at = scratch();
const { film, anew, withoutIndex, read, expectTrue } = cutting(at);

beforeAll(async () => {
  await film('whole.mp4');
  // For what ffmpeg encodes anew: the one of 2018 loses the tags.
  await film('untagged.mp4', { colourTags: 'none' });
});

describe('an MP4 without its index', () => {
  /** A film alone in a folder, or with another one beside it that is not part of the run. */
  function placed(name: string, lender: string | null): string {
    const folder = at(`folder-${++folders}`);
    mkdirSync(folder);
    copyFileSync(at(name), path.join(folder, name));
    if (lender !== null) copyFileSync(at(lender), path.join(folder, `a-${lender}`));
    return path.join(folder, name);
  }
  let folders = 0;

  it.each([
    ['H.264 with reordered pictures', 'whole.mp4', (name: string) => film(name)],
    ['H.264 in four slices', 'slices.mp4', (name: string) => anew(name, '-x264-params', 'slices=4')],
    ['HEVC', 'hevc.mp4', (name: string) => film(name, { codec: 'hevc' })],
    ['HEVC of 10 bit', 'ten.mp4', (name: string) => film(name, { codec: 'hevc', pixelFormat: 'yuv420p10le' })],
  ])('is read with the settings of an intact film beside it: %s', async (_, name, make) => {
    await make(name);
    const cutName = `cut-${name}`;
    withoutIndex(name, cutName, 0.8);
    const source = await open(placed(cutName, name), interval);
    const [note] = source.info.notes.filter(({ code }) => code === 'video-breaks-off');
    expect(note?.message).toMatch(/never finished.*index is missing.*pictures were found.*taken from/);
    const frames = await collect(source);
    expectTrue(frames, 20);
    const used = frames.filter((frame) => frame.kind === 'frame').length;
    expect(used).toBeGreaterThan(20);
    expect(used).toBeLessThan(36);
    expect(source.info.frameCount).toBe(used);
  });

  describe('whose pictures stand for themselves', () => {
    const sound = ['-f', 'lavfi', '-i', 'anoisesrc=duration=4:seed=7', '-c:a', 'pcm_s16le'];
    it.each<[name: string, coder: readonly string[]]>([
      ['prores.mov', ['-c:v', 'prores_ks', '-pix_fmt', 'yuv422p10le']],
      ['prores-4444.mov', ['-c:v', 'prores_ks', '-pix_fmt', 'yuv444p10le']],
      ['mjpeg.mov', ['-c:v', 'mjpeg', '-q:v', '2', '-pix_fmt', 'yuvj420p']],
      ['mjpeg.mp4', ['-c:v', 'mjpeg', '-q:v', '2', '-pix_fmt', 'yuvj420p']],
    ])('is read without help, sound between them or not, pixel by pixel: %s', async (name, coder) => {
      for (const more of name.endsWith('.mov') ? [[], sound] : [[]]) {
        await ffmpeg('-i', at('untagged.mp4'), ...more, ...coder, at(name));
        withoutIndex(name, `cut-${name}`, 0.8);
        const alone = placed(`cut-${name}`, null);
        const source = await open(alone, interval);
        const [note] = source.info.notes.filter(({ code }) => code === 'video-breaks-off');
        expect(note?.message).toMatch(/never finished.*pictures were found.*which way up it was filmed is not known/i);
        const frames = await collect(source);
        expect(frames.length).toBe(source.info.frameCount);
        expect(frames.length).toBeGreaterThan(0.7 * count);
        expect(frames.length).toBeLessThan(0.9 * count);
        expect(frames).toEqual((await read(name, interval)).slice(0, frames.length));
        await expect(open(alone, playback)).rejects.toMatchObject({ code: 'video-rate-unknown' });
      }
    });

    it('takes rate and turn of a film of its kind and size beside it', async () => {
      await ffmpeg('-i', at('mjpeg.mov'), '-c', 'copy', '-an', '-metadata:s:v:0', 'rotate=90', at('turned.mov'));
      withoutIndex('turned.mov', 'cut-turned.mov', 0.8);
      const source = await open(placed('cut-turned.mov', 'turned.mov'), { kind: 'speed', speed: 600 });
      expect([source.info.width, source.info.height]).toEqual([height, width]);
      expect(source.info.durationS).toBeCloseTo(60 * (source.info.frameCount! - 1), 3);
      // Of another kind: no help.
      await expect(open(placed('cut-turned.mov', 'prores.mov'), playback)).rejects.toMatchObject({
        code: 'video-rate-unknown',
      });
    });

    it('of a kind that we do not find is one message', async () => {
      await ffmpeg('-i', at('untagged.mp4'), '-c:v', 'mpeg4', '-q:v', '2', at('part-two.mp4'));
      withoutIndex('part-two.mp4', 'cut-part-two.mp4', 0.8);
      const opening = open(placed('cut-part-two.mp4', 'part-two.mp4'));
      await expect(opening).rejects.toMatchObject({ code: 'video-index-missing' });
      await expect(opening).rejects.toThrow(/to do: [^]*H\.264 or HEVC/);
    });
  });

  it('whose pictures are shown for several frames is found out as an intact one is', async () => {
    await ffmpeg(
      '-i',
      at('untagged.mp4'),
      '-vf',
      'noise=alls=12:allf=t,fps=30',
      '-c:v',
      'libx264',
      '-crf',
      '12',
      at('held.mp4'),
    );
    withoutIndex('held.mp4', 'cut-held.mp4', 0.8);
    const source = await open(placed('cut-held.mp4', 'held.mp4'), { kind: 'speed', speed: 1 });
    const notes = source.info.notes.map(({ code }) => code);
    expect(notes).toEqual(expect.arrayContaining(['video-breaks-off', 'pictures-held']));
    const used = (await collect(source)).flatMap((frame) => (frame.kind === 'frame' ? [frame.index] : []));
    expect(used.length).toBeGreaterThan(25);
    expect(used).toEqual(used.map((_, shot) => 3 * shot));
  });

  it('gives the very pixels of the intact film', async () => {
    const whole = await read('whole.mp4', interval);
    const salvaged = await collect(await open(placed('cut-whole.mp4', 'whole.mp4'), interval), undefined, true);
    const sorted = [...salvaged].sort((a, b) => a.index - b.index);
    expect(sorted).toEqual(whole.slice(0, sorted.length));
  });

  it('is read among sound, whose bytes are no pictures', async () => {
    await ffmpeg(
      '-i',
      at('whole.mp4'),
      '-f',
      'lavfi',
      '-i',
      'anoisesrc=duration=4:seed=7',
      '-c:v',
      'copy',
      '-b:a',
      '256k',
      at('sound.mp4'),
    );
    withoutIndex('sound.mp4', 'cut-sound.mp4', 0.8);
    const frames = await collect(await open(placed('cut-sound.mp4', 'sound.mp4'), interval));
    expectTrue(frames, 20);
    expect(frames.length).toBeGreaterThan(20);
  });

  it('is read without help when the camera repeats its settings among the pictures', async () => {
    await anew('repeats.mp4', '-bsf:v', 'dump_extra=freq=keyframe');
    withoutIndex('repeats.mp4', 'cut-repeats.mp4', 0.8);
    const alone = placed('cut-repeats.mp4', null);
    const source = await open(alone, interval);
    expectTrue(await collect(source), 20);
    expect(source.info.notes.map(({ message }) => message).join()).toMatch(/which way up it was filmed is not known/i);
    await expect(open(alone, playback)).rejects.toMatchObject({ code: 'video-rate-unknown' });
  });

  it('ends where the camera had only reserved room on the card', async () => {
    withoutIndex('whole.mp4', 'reserved.mp4', 0.8, Buffer.alloc(300_000));
    const frames = await collect(await open(placed('reserved.mp4', 'whole.mp4'), interval));
    expectTrue(frames, 20);
    expect(frames.length).toBeGreaterThan(20);
  });

  it('takes the rate and the turn of the film beside it', async () => {
    await ffmpeg('-i', at('whole.mp4'), '-c', 'copy', '-metadata:s:v:0', 'rotate=90', at('turned.mp4'));
    withoutIndex('turned.mp4', 'cut-turned.mp4', 0.8);
    const source = await open(placed('cut-turned.mp4', 'turned.mp4'), { kind: 'speed', speed: 600 });
    expect([source.info.width, source.info.height]).toEqual([height, width]);
    expect(source.info.durationS).toBeCloseTo(60 * (source.info.frameCount! - 1), 3);
  });

  it('is part of a run with other files, which may lend theirs; inputs name the lender', async () => {
    const source = await open([at('whole.mp4'), at('cut-whole.mp4')], interval);
    expectTrue((await collect(source)).slice(0, count), 20);
    expect(source.info.frameCount).toBeGreaterThan(count + 20);
    expect(source.info.inputs.map(({ path }) => path)).toEqual(['whole.mp4', 'cut-whole.mp4']);
  });

  it('is one message when nothing beside it fits, and when nothing is beside it', async () => {
    await ffmpeg('-f', 'lavfi', '-i', 'testsrc=size=320x180:duration=1', '-pix_fmt', 'yuv420p', at('other.mp4'));
    const opening = open(placed('cut-whole.mp4', 'other.mp4'));
    await expect(opening).rejects.toMatchObject({ code: 'video-index-missing' });
    await expect(opening).rejects.toThrow(/a-other\.mp4 beside it was filmed otherwise[^]*to do:/);
    await expect(open(placed('cut-whole.mp4', null))).rejects.toThrow(/no intact film[^]*to do:/);
  });

  it.each([0, 1, 7, 100])('with %i bytes of pictures is one message', async (bytes) => {
    const head = readFileSync(at('cut-whole.mp4'));
    const start = head.indexOf('mdat') + 4;
    writeFileSync(at('short.mp4'), head.subarray(0, start + bytes));
    await expect(open(placed('short.mp4', 'whole.mp4'))).rejects.toMatchObject({ code: 'video-index-missing' });
  });
});
