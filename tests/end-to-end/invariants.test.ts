import path from 'node:path';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { encodeVideo } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { ResultEstimate, ResultVial } from '../../src/model/result.ts';
import type { AnalysedRun } from '../../src/pipeline.ts';
import { simulateFrames } from '../../src/simulate/index.ts';
import { analysed, benchFolder, type RigFile, scenario, writePngs, writeRun } from './rack.ts';

/**
 * What must not matter to a result, each through the whole of `analyseRun`. Tolerances are some three times what was
 * measured, since the pictures differ in rounding only.
 */
const folder = benchFolder();
let pictures: readonly RgbImage[];
let plain: AnalysedRun;

beforeAll(async () => {
  pictures = [...simulateFrames(scenario)];
  await writePngs(folder('plain/stills'), pictures);
  plain = await analysed(writeRun(folder('plain'), 'stills'));
  const { samples, run } = plain.analysis.result;
  expect(samples.map(({ outcome }) => outcome)).toEqual(['reacted']);
  expect(run.frames).toMatchObject({ used: scenario.frameCount, rejected: [] });
});

interface Tolerance {
  /** Extent, in every frame of every vial. */
  readonly extent: number;
  /**
   * Of half-times and rate constants, share of half the width of both 95 % intervals together: the path's error has 32
   * draws, and other pixels mean other draws.
   */
  readonly kinetics: number;
  /** How many times slower the other run's clock goes. */
  readonly slower?: number;
}

function expectSame(other: AnalysedRun, { extent, kinetics, slower = 1 }: Tolerance): void {
  const vialOf = ({ analysis }: AnalysedRun, region: string): ResultVial =>
    analysis.result.vials.find((vial) => vial.region === region)!;
  const extentsOf = ({ analysis }: AnalysedRun, region: string) =>
    analysis.series.find((series) => series.region === region)!.extent;
  for (const { region } of plain.analysis.result.vials) {
    const [first, second] = [extentsOf(plain, region), extentsOf(other, region)];
    expect(second).toHaveLength(first.length);
    first.forEach((value, frame) => {
      expect(Math.abs(value! - second[frame]!), `${region}, frame ${frame}`).toBeLessThanOrEqual(extent);
    });
    const [one, two] = [vialOf(plain, region).fit, vialOf(other, region).fit];
    // Below the margin of 0.05 over the whole run, models are picked among noise: only the extents above count.
    if (Math.max(...first.map((value) => value!)) < 0.05) continue;
    expect(two.model).toBe(one.model);
    expectClose(one.half_time_s!, two.half_time_s!, slower, kinetics, `half-time of ${region}`);
    expectClose(one.rate_constant!, two.rate_constant!, 1 / slower, kinetics, `rate constant of ${region}`);
  }
  const judged = ({ analysis }: AnalysedRun) =>
    analysis.result.samples.map(({ outcome, regions }) => [outcome, regions]);
  expect(judged(other)).toEqual(judged(plain));
  expect(other.analysis.result.checks.map(({ code, status }) => [code, status])).toEqual(
    plain.analysis.result.checks.map(({ code, status }) => [code, status]),
  );
}

function expectClose(one: ResultEstimate, two: ResultEstimate, factor: number, tolerance: number, name: string): void {
  const half = ({ ci95: [low, high] }: ResultEstimate): number => (high! - low!) / 2;
  const allowed = tolerance * Math.hypot(half(one), half(two) / factor);
  expect(Math.abs(two.value / factor - one.value), name).toBeLessThanOrEqual(allowed);
}

const eachRect = ({ regions, white }: RigFile) => [...regions, ...white];

describe('the result does not depend on', () => {
  it('left and right', async () => {
    const mirrored = pictures.map(({ data, width, height }) => {
      const turned = new Uint8Array(data.length);
      for (let row = 0; row < height; row += 1)
        for (let x = 0; x < width; x += 1) {
          const from = 3 * (row * width + width - 1 - x);
          turned.set(data.subarray(from, from + 3), 3 * (row * width + x));
        }
      return { data: turned, width, height };
    });
    await writePngs(folder('mirrored/stills'), mirrored);
    const other = await analysed(
      writeRun(folder('mirrored'), 'stills', ({ rig }) => {
        for (const rect of eachRect(rig)) rect.x = scenario.frame.width - rect.x - rect.width;
      }),
    );
    // Measured: 0.0001; 0.12.
    expectSame(other, { extent: 0.0005, kinetics: 0.3 });
  });

  it('the number of pixels: the same frames twice as large, by cubic interpolation', async () => {
    const { width, height } = scenario.frame;
    const larger = { width: 2 * width, height: 2 * height };
    const enlarged = await Promise.all(
      pictures.map(async ({ data }) => {
        const picture = sharp(data, { raw: { width, height, channels: 3 } });
        const resized = picture.resize(larger.width, larger.height, { kernel: 'cubic' });
        return { data: new Uint8Array(await resized.raw().toBuffer()), ...larger };
      }),
    );
    // As film without loss: writing and reading PNG of this size takes longer than all else here.
    const at = folder('doubled');
    const file = path.join(at, 'film.mkv');
    await encodeVideo({ file, ...larger, framesPerSecond: 10, codec: 'ffv1', pixelFormat: 'gbrp' }, enlarged);
    const other = await analysed(
      writeRun(at, 'film.mkv', ({ rig }) => {
        rig.frame = larger;
        for (const rect of eachRect(rig)) {
          rect.x *= 2;
          rect.y *= 2;
          rect.width *= 2;
          rect.height *= 2;
        }
      }),
    );
    // Measured: 0.002; 0.16. Which samples are averaged changes at the edges of a region.
    expectSame(other, { extent: 0.006, kinetics: 0.5 });
  }, 180_000);

  it('the order of vials in the run file', async () => {
    const other = await analysed(writeRun(folder('plain'), 'stills', ({ run }) => void run.vials.reverse()));
    expectSame(other, { extent: 1e-9, kinetics: 1e-9 });
  });

  it('how fast it goes: at twice the interval, times double and rates halve', async () => {
    const other = await analysed(
      writeRun(folder('plain'), 'stills', ({ run }) => {
        run.timing = { interval_s: 2 * scenario.intervalS };
        run.read_at_s *= 2;
        for (const vial of run.vials) vial.added_run_s *= 2;
      }),
    );
    expectSame(other, { extent: 1e-9, kinetics: 1e-6, slower: 2 });
  });

  it.each([
    // Measured: 0.0003, as what follows the camera and the glare begins anew at the second half of a film.
    ['a film without loss', { codec: 'ffv1', pixelFormat: 'gbrp' }, { extent: 0.001, kinetics: 0.3 }],
    // Measured: 0.009; 0.15, in other racks up to 0.7. Rounding to 8 bits of limited range bends the colours of all vials alike, as the path's
    // error does, which is what the intervals are for.
    ['a film in H.264', { crf: 8 }, { extent: 0.025, kinetics: 1 }],
  ] as const)('pictures or film: %s', async (name, options, tolerance) => {
    const at = folder(name);
    const file = path.join(at, 'film.mkv');
    await encodeVideo({ file, ...scenario.frame, framesPerSecond: 10, ...options }, pictures);
    expectSame(await analysed(writeRun(at, 'film.mkv')), tolerance);
  });

  it('when, where and how often it is run: every byte but the time is the same', async () => {
    await writePngs(folder('elsewhere/stills'), pictures);
    const again = await analysed(writeRun(folder('elsewhere'), 'stills'), new Date(86_400_000));
    const bytes = ({ files }: AnalysedRun) =>
      files.map(({ path: name, content }) => [name, Buffer.from(content as Uint8Array).toString('latin1')] as const);
    const [first, second] = [bytes(plain), bytes(again)];
    expect(first.map(([name]) => name)).toContain('report.html');
    const differing = first.filter(([, content], index) => content !== second[index]![1]).map(([name]) => name);
    // Only these tell the time; without it they are equal too.
    expect(differing).toContain('result.json');
    const timeless = (content: string) => content.replaceAll(/1970-01-0[12][T ]00:00(:00(\.000)?)?Z?/g, 'then');
    expect(second.map(([name, content]) => [name, timeless(content)])).toEqual(
      first.map(([name, content]) => [name, timeless(content)]),
    );
  });
});
