import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { thumbnailOf } from '../../src/rig-page/server/thumbnail.ts';
import { simulateFrames } from '../../src/simulate/index.ts';
import { extentErrors, smallRun } from './extent-errors.ts';
import { benchFolder } from './rack.ts';

const bench = benchFolder();
const frame = { width: 640, height: 360 };

/**
 * The main job's figures, 0.02 at the median and 0.05 at worst, on a run with a knock of 6 px, a turn of 0.3 degrees and a zoom of
 * 0.3 % in mid-run, a step of white balance, a drift of -7 % and flicker; set up 5 px off where the rig was placed.
 */
it('a nudged, turned and zoomed camera under unsteady light reads extents as a steady one does', async () => {
  const scenario = smallRun({
    seed: 41,
    frame,
    frameCount: 30,
    intervalS: 480,
    lamp: { kind: 'daylight' },
    camera: { preset: 'broad', matrix: 'daylight' },
    light: { drift: -0.07, colourDrift: 0.01, flicker: 0.004 },
    disturbances: {
      moves: [
        { atRunS: 0, dx: 4, dy: -3 },
        { atRunS: 5000, dx: -1, dy: 1.5, rotationDeg: 0.3, scale: 1.003 },
      ],
      gainSteps: [{ atRunS: 7000, gains: [1.06, 1, 0.93] }],
    },
  });
  // The rig was placed on another day: a camera that had not been moved.
  const before = smallRun({
    seed: 41,
    frame,
    lamp: { kind: 'daylight' },
    camera: { preset: 'broad', matrix: 'daylight' },
    frameCount: 1,
  });
  const [picture] = [...simulateFrames(before)];
  const thumbnail = await thumbnailOf(picture!);
  const found = await extentErrors(scenario, bench('harsh'), (runFile) => {
    const rigFile = path.join(path.dirname(runFile), 'rig.json');
    const rig = JSON.parse(readFileSync(rigFile, 'utf8')) as object;
    writeFileSync(rigFile, JSON.stringify({ ...rig, thumbnail }));
  });
  expect(found.median).toBeLessThan(0.02);
  expect(found.worst).toBeLessThan(0.05);
  const { measurement, result } = found.run.analysis;
  // Most vials wait for their reagent in the first frame: no hand.
  expect(measurement.rejected).toEqual([]);
  const codes = measurement.notes.map(({ code }) => code);
  expect(codes).toEqual(expect.arrayContaining(['rig-camera-shifted', 'camera-moved', 'white-balance-step']));
  const last = measurement.motion.scale.at(-1)!;
  expect(last).toBeCloseTo(1.003, 3);
  expect(measurement.motion.rotation.at(-1)! * (180 / Math.PI)).toBeCloseTo(0.3, 1);
  // The report's outlines go along: first where the rig was set up, then where the knock left it.
  const [first, end] = [measurement.stills[0]!.shift!, measurement.stills.at(-1)!.shift!];
  expect(
    [first.dx, first.dy, end.dx, end.dy].map((pixels, at) => Math.abs(pixels - [4, -3, -1, 1.5][at]!) < 0.2),
  ).toEqual([true, true, true, true]);
  expect(end.scale).toBeCloseTo(1.003, 3);
  const camera = result.checks.find(({ code }) => code === 'camera')!;
  expect(camera.message).toMatch(
    /Since the rig was placed the picture has moved by [45]\.\d px .*It jumped: \d\.\d px at (8[0-9] min|1 h 2[0-9] min)/,
  );
}, 60_000);

it('focus that breathes is told from a knock, and daylight from a lamp: by the checks of an encoded run', async () => {
  const breath = { dx: 0, dy: 0, scale: 1.004 };
  const scenario = smallRun({
    seed: 12,
    frame,
    frameCount: 24,
    intervalS: 600,
    disturbances: {
      // A window: brighter and bluer towards noon, each frame against the one before.
      gainSteps: Array.from({ length: 23 }, (_, at) => {
        const day = (share: number, frame: number): number => 1 + share * Math.sin((Math.PI * frame) / 24);
        const gains = [0.06, 0.1, 0.18].map((share) => day(share, at + 1) / day(share, at));
        return { atRunS: 600 * (at + 1), gains: [gains[0]!, gains[1]!, gains[2]!] as const };
      }),
      moves: [
        { atRunS: 4800, ...breath },
        { atRunS: 7200, dx: 0, dy: 0 },
      ],
    },
  });
  const { median, worst, run } = await extentErrors(scenario, bench('window'));
  expect(median).toBeLessThan(0.02);
  expect(worst).toBeLessThan(0.05);
  const { measurement, result } = run.analysis;
  const codes = measurement.notes.map(({ code }) => code);
  expect(codes).toEqual(expect.arrayContaining(['daylight', 'focus-breathing']));
  expect(codes).not.toContain('camera-moved');
  const check = (code: string) => result.checks.find((one) => one.code === code)!;
  expect(check('camera')).toMatchObject({
    status: 'pass',
    message: expect.stringMatching(
      /^The camera did not move\. The picture's scale changed by 0\.(39|4\d?) %: the focus was hunting/,
    ),
  });
  expect(check('light')).toMatchObject({
    status: 'warn',
    message: expect.stringMatching(/Daylight seems to reach the rack: .* cover the window\./),
  });
}, 60_000);

/** As far on a frame of 640 px as 40 px are on one of 1280. */
const largeNudge = { dx: 17, dy: -10.5 };

it('a nudge much larger than usual is followed', async () => {
  const scenario = smallRun({
    ...{ seed: 52, frame, frameCount: 24, intervalS: 600 },
    disturbances: { moves: [{ atRunS: 6000, ...largeNudge }] },
  });
  const { median, worst, run } = await extentErrors(scenario, bench('large'));
  expect(median).toBeLessThan(0.02);
  expect(worst).toBeLessThan(0.05);
  const { measurement, result } = run.analysis;
  expect(measurement.rejected).toEqual([]);
  expect(measurement.motion.dx.at(-1)).toBeCloseTo(largeNudge.dx, 0);
  expect(measurement.motion.dy.at(-1)).toBeCloseTo(largeNudge.dy, 0);
  const camera = result.checks.find(({ code }) => code === 'camera')!;
  expect(camera.status).toBe('warn');
  expect(camera.message).toMatch(
    /moved by up to 20 pixels;.* moved by (19|20)\.\d px .* followed \(at 1 h 40 min of the run\u2019s clock\)\.$/,
  );
}, 60_000);

// Most of a column and nearly a whole one: the rack's glass fits again, each vial on its neighbour's place.
it.each([
  [62, 18],
  [90, 0],
])(
  'a nudge too large to follow (%d, %d px) leaves frames out, and the check says so with time and size',
  async (dx, dy) => {
    const scenario = smallRun({
      ...{ seed: 53, frame, frameCount: 24, intervalS: 600 },
      disturbances: { moves: [{ atRunS: 6000, dx, dy }] },
    });
    const { run } = await extentErrors(scenario, bench(`too-large-${dx}`));
    const { measurement, result } = run.analysis;
    expect(measurement.frames.timeRunS.at(-1)).toBe(5400);
    expect(measurement.rejected.map(({ reason }) => reason)).toEqual(
      Array.from({ length: 14 }, () => 'the still parts of the picture were hidden or the camera was moving'),
    );
    const camera = result.checks.find(({ code }) => code === 'camera')!;
    expect(camera.status).toBe('warn');
    expect(camera.message).toMatch(
      /^The camera did not move while it could be followed\. From 1 h 40 min to 3 h 50 min of the run\u2019s clock 14 frames up to the end /,
    );
    const told = /moved by about (\d+) px \((\d+) right, (\d+) down\), too large to follow \(32 px at most\)/.exec(
      camera.message,
    )!;
    expect(
      [told[1], told[2], told[3]].map((text, at) => Math.abs(Number(text) - [Math.hypot(dx, dy), dx, dy][at]!) <= 2),
    ).toEqual([true, true, true]);
  },
  60_000,
);
