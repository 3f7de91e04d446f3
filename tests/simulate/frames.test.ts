import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { RgbImage } from '../../src/model/frame.ts';
import {
  exampleRun,
  frameTimes,
  layoutOf,
  liquidRect,
  simulateFrames,
  type Scenario,
} from '../../src/simulate/index.ts';
import { noNoise, tinyScenario } from './support.ts';

const frames = (scenario: Scenario): readonly RgbImage[] => [...simulateFrames(scenario)];
const hash = (images: readonly RgbImage[]): string =>
  images.reduce((sum, { data }) => sum.update(data), createHash('sha256')).digest('hex');

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Mean and standard deviation of a channel over a box. */
function channelOf(image: RgbImage, box: Box, channel: number): { readonly mean: number; readonly sd: number } {
  let sum = 0;
  let squares = 0;
  let count = 0;
  for (let y = Math.ceil(box.y); y < box.y + box.height; y += 1) {
    for (let x = Math.ceil(box.x); x < box.x + box.width; x += 1) {
      const value = image.data[3 * (y * image.width + x) + channel]!;
      sum += value;
      squares += value * value;
      count += 1;
    }
  }
  const mean = sum / count;
  return { mean, sd: Math.sqrt(Math.max(0, squares / count - mean * mean)) };
}

describe('simulateFrames', () => {
  it('gives the promised number of frames of the promised size', () => {
    const scenario = tinyScenario();
    const made = frames(scenario);
    expect(made.map(({ width, height, data }) => [width, height, data.length])).toEqual(
      frameTimes(scenario).map(() => [240, 120, 240 * 120 * 3]),
    );
  });

  it('is the same for the same seed and other for another', () => {
    expect(hash(frames(tinyScenario()))).toBe(hash(frames(tinyScenario())));
    expect(hash(frames(tinyScenario({ seed: 4 })))).not.toBe(hash(frames(tinyScenario())));
  });

  it('turns the positive from orange to green and leaves the blank', () => {
    const scenario = tinyScenario();
    const [first, last] = [frames(scenario)[0]!, frames(scenario).at(-1)!];
    const boxes = layoutOf(scenario).vials.map(liquidRect);
    const red = (image: RgbImage, vial: number): number => channelOf(image, boxes[vial]!, 0).mean;
    const green = (image: RgbImage, vial: number): number => channelOf(image, boxes[vial]!, 1).mean;
    expect(red(first, 1)).toBeGreaterThan(green(first, 1) + 20);
    expect(green(last, 1)).toBeGreaterThan(red(last, 1) + 20);
    expect(Math.abs(red(last, 0) - red(first, 0))).toBeLessThan(4);
  });

  it('shows no liquid before dosing', () => {
    const scenario = tinyScenario();
    const box = liquidRect(layoutOf(scenario).vials[4]!);
    const [before, , after] = frames(scenario);
    expect(channelOf(before!, box, 2).mean).toBeGreaterThan(150);
    expect(channelOf(after!, box, 2).mean).toBeLessThan(60);
  });

  it('draws noise afresh in every frame, of the size of its parameters', () => {
    const light = { drift: 0, colourDrift: 0, flicker: 0 };
    const scenario = tinyScenario({ light, camera: { readNoise: 0.01, shotNoise: 0 } });
    const [first, second] = frames(scenario);
    const patch = layoutOf(scenario).patches[1]!;
    const box = { x: patch.x + 2, y: patch.y + 2, width: patch.width - 4, height: patch.height - 4 };
    const difference: RgbImage = { ...first!, data: first!.data.map((value, at) => 128 + value - second!.data[at]!) };
    // Between frames only noise differs: sd sqrt(2) * 0.01 in linear light, through the slope of the sRGB curve there.
    const code = channelOf(first!, box, 1).mean / 255;
    const slope = (1.055 / 2.4) * ((code + 0.055) / 1.055) ** -1.4;
    const expected = Math.SQRT2 * 0.01 * slope * 255;
    expect(channelOf(difference, box, 1).sd / expected).toBeGreaterThan(0.8);
    expect(channelOf(difference, box, 1).sd / expected).toBeLessThan(1.2);
  });

  it('moves the whole scene by a nudge of whole pixels, exactly where the exposure is even', () => {
    const still = { camera: { ...noNoise, vignetting: 0 }, light: { drift: 0, colourDrift: 0, flicker: 0 } };
    const moves = [{ atRunS: 0, dx: 3, dy: -2 }];
    const [straight] = frames(tinyScenario(still));
    const [moved] = frames(tinyScenario({ ...still, disturbances: { moves } }));
    const differing: number[] = [];
    for (let y = 10; y < 110; y += 1) {
      for (let x = 10; x < 225; x += 1) {
        const from = 3 * (y * 240 + x);
        const to = 3 * ((y - 2) * 240 + x + 3);
        differing.push(Math.abs(straight!.data[from]! - moved!.data[to]!));
      }
    }
    expect(Math.max(...differing)).toBeLessThanOrEqual(1);
  });

  it('covers the view in blocked frames only', () => {
    const scenario = tinyScenario({ disturbances: { blocked: [{ fromRunS: 1100, toRunS: 1300 }] } });
    const whole = { x: 0, y: 0, width: 240, height: 120 };
    const green = frames(scenario).map((image) => channelOf(image, whole, 1).mean);
    expect(green[2]).toBeLessThan(green[1]! - 20);
    expect(Math.abs(green[3]! - green[1]!)).toBeLessThan(10);
  });

  it('scales the picture by the light course: a gain step of 0.9 shows on the patches', () => {
    const still = { camera: noNoise, light: { drift: 0, colourDrift: 0, flicker: 0 } };
    const gainSteps = [{ atRunS: 1000, gains: [0.9, 0.9, 0.9] as const }];
    const scenario = tinyScenario({ ...still, disturbances: { gainSteps } });
    const patch = layoutOf(scenario).patches[1]!;
    const linear = frames(scenario).map((image) => {
      const code = channelOf(image, { ...patch, x: patch.x + 2, y: patch.y + 2, width: 10, height: 10 }, 0).mean / 255;
      return ((code + 0.055) / 1.055) ** 2.4;
    });
    expect(linear[3]! / linear[0]!).toBeCloseTo(0.9, 2);
    expect(linear[1]! / linear[0]!).toBeCloseTo(1, 2);
  });
});

describe('exampleRun', () => {
  it('places whole-pixel regions inside the frame and names every vial', () => {
    const { run, rig } = exampleRun(tinyScenario(), { source: 'film.mp4', rig: 'rig.json' });
    const regions = rig['regions'] as readonly (Box & { readonly id: string })[];
    for (const { x, y, width, height } of regions) {
      for (const value of [x, y, width, height]) expect(Number.isInteger(value) && value > 0).toBe(true);
      expect(x + width).toBeLessThanOrEqual(240);
      expect(y + height).toBeLessThanOrEqual(120);
    }
    const vials = run['vials'] as readonly { readonly region: string }[];
    expect(vials.map(({ region }) => region)).toEqual(regions.map(({ id }) => id));
  });
});
