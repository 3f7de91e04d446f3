import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { FramePixels } from '../../src/model/frame.ts';
import { collect, ffmpeg, film, open, scratch, worstError } from './media.ts';

const at = scratch();
const playback = { kind: 'speed', speed: 1 } as const;

function digest(frames: readonly FramePixels[]): readonly string[] {
  return [...frames]
    .sort((a, b) => a.index - b.index)
    .map((frame) => {
      const hash = createHash('sha256').update(JSON.stringify([frame.kind, frame.index, frame.timeRunS]));
      if (frame.kind === 'frame') {
        for (const { red, green, blue } of frame.regions) {
          for (const plane of [red, green, blue]) hash.update(new Uint8Array(plane.buffer));
        }
      }
      return hash.digest('hex');
    });
}

describe('times of film frames', () => {
  it('takes interval_s by count and speed by presentation time', async () => {
    await film(at('plain.mp4'), {}, 5);
    const times = async (timing: Parameters<typeof open>[1]): Promise<readonly (number | null)[]> =>
      (await collect(await open(at('plain.mp4'), timing))).map((frame) => frame.timeRunS);
    expect(await times({ kind: 'interval', intervalS: 30 })).toEqual([0, 30, 60, 90, 120]);
    // 10 frames a second at 600 real seconds per second: 60 s apart.
    (await times({ kind: 'speed', speed: 600 })).forEach((time, i) => expect(time).toBeCloseTo(60 * i, 6));
  });

  it('keeps true times where the frame rate varies and frames are missing', async () => {
    await film(at('even.mp4'), {}, 20);
    const select = "select='not(between(n,4,9))*not(eq(n,15))',setpts=PTS+5/TB";
    for (const name of ['gaps.mp4', 'gaps.mkv']) {
      await ffmpeg('-i', at('even.mp4'), '-vf', select, '-vsync', 'vfr', '-copyts', at(name));
      const source = await open(at(name), playback);
      expect(
        source.info.notes.filter(({ code }) => code.startsWith('video-')),
        name,
      ).toEqual([]);
      const frames = await collect(source);
      const kept = [0, 1, 2, 3, 10, 11, 12, 13, 14, 16, 17, 18, 19];
      expect(frames.length).toBe(kept.length);
      frames.forEach((frame, i) => expect(frame.timeRunS, `${name} ${i}`).toBeCloseTo(kept[i]! / 10, 2));
    }
  });

  it('says where interval_s counts past missing pictures, and the speed that does not', async () => {
    const [note, ...others] = (await open(at('gaps.mp4'), { kind: 'interval', intervalS: 60 })).info.notes.filter(
      ({ code }) => code === 'film-uneven',
    );
    expect(others).toEqual([]);
    // Six and one of ten pictures a second are missing; 60 s of the run are 0.1 s of the film.
    expect(note?.message).toMatch(/7 pictures are missing in 2 places, first after picture 4\..*speed: 600 }/);
    const frames = await collect(await open(at('gaps.mp4'), { kind: 'speed', speed: 600 }));
    expect(frames.at(-1)!.timeRunS).toBeCloseTo(19 * 60, 0);
    const even = await open(at('even.mp4'), { kind: 'interval', intervalS: 60 });
    expect(even.info.notes).toEqual([]);
  });

  it('stops at untilRunS', async () => {
    const frames = await collect(await open(at('plain.mp4'), { kind: 'interval', intervalS: 30 }, { untilRunS: 65 }));
    expect(frames.map((frame) => frame.timeRunS)).toEqual([0, 30, 60]);
  });

  it('reads key frames only for a glance, at their true times', async () => {
    await film(at('keys.mp4'), { keyFrameEvery: 4 }, 12);
    const frames = await collect(await open(at('keys.mp4'), playback, { glance: true }));
    expect(frames.map((frame) => frame.index)).toEqual([0, 4, 8]);
    expect(worstError(frames)).toBeLessThan(2);
  });

  it('joins files to one run: chained, or where they start', async () => {
    await film(at('b.mp4'), {}, 3);
    const timing = { kind: 'interval', intervalS: 10 } as const;
    const chained = await open([at('plain.mp4'), at('b.mp4')], timing);
    expect((await collect(chained)).map((frame) => [frame.index, frame.timeRunS])).toEqual(
      [0, 1, 2, 3, 4, 5, 6, 7].map((i) => [i, 10 * i]),
    );
    expect(chained.info).toMatchObject({ frameCount: 8, durationS: 70, notes: [] });
    const { openSource } = await import('../../src/frames/index.ts');
    const parts = (startsRunS: number) => [
      { file: at('plain.mp4'), startsRunS: 0 },
      { file: at('b.mp4'), startsRunS },
    ];
    const later = await openSource({ parts: parts(200), timing, baseDir: at('.') });
    expect(later.info.notes.map((note) => note.code)).toEqual(['parts-gap']);
    expect((await collect(later)).at(-1)?.timeRunS).toBe(220);
    const early = await openSource({ parts: parts(25), timing, baseDir: at('.') });
    expect(early.info.notes.map((note) => note.code)).toEqual(['parts-overlap']);
    expect((await collect(early)).map((frame) => [frame.kind, frame.timeRunS]).slice(5)).toEqual([
      ['rejected', 25],
      ['rejected', 35],
      ['frame', 45],
    ]);
  });
});

describe('two decoders on two halves', () => {
  it.each([
    ['long.mp4', { keyFrameEvery: 25 }],
    ['long.mkv', { keyFrameEvery: 40 }],
    ['long-hevc.mp4', { keyFrameEvery: 30, codec: 'hevc' }],
  ] as const)('give exactly what one decoder gives: %s', async (name, options) => {
    await film(at(name), options, 140);
    const one = await collect(await open(at(name), playback));
    const two = await collect(await open(at(name), playback), undefined, true);
    expect(one.map((frame) => frame.index)).toEqual(Array.from({ length: 140 }, (_, i) => i));
    expect(two.map((frame) => frame.index)).not.toEqual(one.map((frame) => frame.index));
    expect(digest(two)).toEqual(digest(one));
  });

  it("read through the programs' own pipes where there can be no sockets, with the same pixels", async () => {
    await film(at('piped.mp4'), {}, 12);
    const direct = await collect(await open(at('piped.mp4'), playback));
    const before = process.env['TMPDIR'];
    process.env['TMPDIR'] = at('no such folder');
    try {
      const piped = await collect(await open(at('piped.mp4'), playback));
      expect(piped).toHaveLength(12);
      expect(digest(piped)).toEqual(digest(direct));
    } finally {
      if (before === undefined) delete process.env['TMPDIR'];
      else process.env['TMPDIR'] = before;
    }
  });

  it('falls back to one when there is no key frame near the middle', async () => {
    await film(at('one-key.mp4'), { keyFrameEvery: 1000 }, 130);
    const frames = await collect(await open(at('one-key.mp4'), playback), undefined, true);
    expect(frames.map((frame) => frame.index)).toEqual(Array.from({ length: 130 }, (_, i) => i));
  });

  it('hands over whole frames when regions cover much of them, with the same pixels', async () => {
    const whole = [{ id: 'turning', kind: 'vial' as const, x: 0, y: 0, width: 192, height: 108 }];
    const source = await open(at('plain.mp4'));
    const [full] = await collect(source, whole);
    const [cut] = await collect(await open(at('plain.mp4')), [{ ...whole[0]!, x: 20, y: 16, width: 20, height: 20 }]);
    if (full?.kind !== 'frame' || cut?.kind !== 'frame') throw new Error('rejected');
    const small = cut.regions[0]!;
    const large = full.regions[0]!;
    expect([large.width, large.height, large.pixelsPerSample]).toEqual([96, 54, 2]);
    for (let row = 0; row < 10; row++) {
      for (let column = 0; column < 10; column++) {
        expect(small.red[row * 10 + column]).toBe(large.red[(row + 8) * 96 + column + 10]);
      }
    }
  });
});
