import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { encodeVideo, type VideoOptions } from '../../src/frames/index.ts';
import { repeatedReason } from '../../src/model/frame.ts';
import type { Result } from '../../src/model/result.ts';
import { simulateFrames } from '../../src/simulate/index.ts';
import { analysed, benchFolder, scenario, writeRun } from './rack.ts';

/** The same night as a film of its pictures, and as one that shows each of them for three frames. */
const folder = benchFolder();
const each = 3;

async function resultOf(name: string, times: number, options: Partial<VideoOptions>): Promise<Result> {
  const at = folder(name);
  const pictures = [...simulateFrames(scenario)].flatMap((picture) => Array.from({ length: times }, () => picture));
  const { frame, intervalS } = scenario;
  await encodeVideo({ file: path.join(at, 'film.mkv'), ...frame, framesPerSecond: 10, ...options }, pictures);
  const run = writeRun(at, 'film.mkv', (files) => {
    files.run.timing = { speed: (10 * intervalS) / times };
  });
  return (await analysed(run)).analysis.result;
}

/** Extents at the reading time, and rate constants where there are any. */
const estimates = (result: Result) =>
  result.vials.flatMap(({ extent, fit }) => [
    extent.at_read!,
    ...((fit.rate_constant?.se ?? null) === null ? [] : [fit.rate_constant!]),
  ]);

describe('a film that shows each picture three times', () => {
  it('without loss gives the answers and errors of the film without repeats: they are no more evidence', async () => {
    const options = { codec: 'ffv1', pixelFormat: 'gbrp' } as const;
    const once = await resultOf('once', 1, options);
    const held = await resultOf('held', each, options);
    const { read, used, rejected } = held.run.frames;
    expect({ read, used }).toEqual({ read: each * scenario.frameCount, used: scenario.frameCount });
    expect(new Set(rejected.map(({ reason }) => reason))).toEqual(new Set([repeatedReason]));
    const statuses = (result: Result) => result.checks.map(({ code, status }) => `${code} ${status}`);
    expect(statuses(held)).toEqual(statuses(once));
    const check = held.checks.find(({ code }) => code === 'frames');
    expect(check?.message).toMatch(/64 frames of 96 only repeat the one before.* All other 32 frames were used/);
    // Other pictures were looked at beforehand, so that numbers are not quite the same. With repeats taken as frames, three vials lose their rate constants.
    const [plain, repeated] = [estimates(once), estimates(held)];
    expect(plain.length).toBeGreaterThan(scenario.vials.length);
    expect(repeated).toHaveLength(plain.length);
    const ratios = plain.map(({ value, se }, at) => {
      expect(Math.abs(repeated[at]!.value - value) / se!, `${at}`).toBeLessThan(1);
      return repeated[at]!.se! / se!;
    });
    expect(Math.min(...ratios)).toBeGreaterThan(0.95);
    expect(Math.max(...ratios)).toBeLessThan(1.05);
  }, 120_000);

  it('as H.264, whose repeats are not quite equal: each picture counts once', async () => {
    const held = await resultOf('coded', each, { crf: 10 });
    expect(held.run.frames.used).toBe(scenario.frameCount);
    expect(held.vials.map(({ flags }) => flags.filter(({ code }) => code === 'vial-moved'))).toEqual(
      held.vials.map(() => []),
    );
    expect(held.samples.map(({ outcome }) => outcome)).toEqual(['reacted']);
  }, 120_000);
});
