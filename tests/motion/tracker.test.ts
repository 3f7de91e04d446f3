import { describe, expect, it } from 'vitest';
import type { CropRequest } from '../../src/model/frame.ts';
import type { Shift } from '../../src/model/shift.ts';
import { chooseAnchors } from '../../src/motion/choose-anchors.ts';
import { cropMarginPixels } from '../../src/motion/crop-margin.ts';
import { createTracker } from '../../src/motion/tracker.ts';
import type { Tracker } from '../../src/motion/tracker.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { drawScene, frame, viewCrop, viewFrame } from './scene.ts';
import type { Viewing } from './scene.ts';

const scene = drawScene('bench');
const anchors = chooseAnchors(
  viewFrame(scene),
  [{ id: 'A1', shape: 'rect', x: 400, y: 150, width: 160, height: 240 }],
  6,
);
const look = (viewing: Viewing): ReturnType<typeof viewCrop>[] => anchors.map((crop) => viewCrop(scene, crop, viewing));
const start = (viewing: Viewing = {}): Tracker => createTracker(look({ seed: 'first', ...viewing }), frame);

/** Largest distance, over the frame's corners and centre, between where two shifts put a point. */
function misplacement(found: Shift, truth: Partial<Shift>): number {
  const place = (
    { dx = 0, dy = 0, rotation = 0, scale = 1 }: Partial<Shift>,
    x: number,
    y: number,
  ): [number, number] => [
    dx + scale * (Math.cos(rotation) * x - Math.sin(rotation) * y),
    dy + scale * (Math.sin(rotation) * x + Math.cos(rotation) * y),
  ];
  return Math.max(
    ...[
      [0, 0],
      [-400, -200],
      [400, -200],
      [-400, 200],
      [400, 200],
    ].map(([x, y]) => {
      const [ax, ay] = place(found, x!, y!);
      const [bx, by] = place(truth, x!, y!);
      return Math.hypot(ax - bx, ay - by);
    }),
  );
}

describe('chooseAnchors', () => {
  it('spreads crops with their margin over the frame, clear of the liquid', () => {
    expect(anchors).toHaveLength(6);
    const margin = cropMarginPixels(frame.width);
    for (const crop of anchors) {
      expect(
        crop.x >= 0 && crop.y >= 0 && crop.x + crop.width <= frame.width && crop.y + crop.height <= frame.height,
      ).toBe(true);
      const clear =
        crop.x + crop.width - margin <= 400 ||
        crop.x + margin >= 560 ||
        crop.y + crop.height - margin <= 150 ||
        crop.y + margin >= 390;
      expect(clear).toBe(true);
    }
    const xs = anchors.map((crop) => crop.x);
    expect(Math.max(...xs) - Math.min(...xs)).toBeGreaterThan(frame.width / 2);
  });

  it('finds none on a featureless frame', () => {
    expect(chooseAnchors({ ...frame, data: new Float32Array(frame.width * frame.height).fill(0.5) }, [], 6)).toEqual(
      [],
    );
    expect(chooseAnchors([], [], 6)).toEqual([]);
  });

  it('passes over what is textured in one picture only', () => {
    const still = viewFrame(scene);
    const other = { ...still, data: still.data.slice() };
    // A flat hand over the left third in the second picture.
    for (let row = 0; row < frame.height; row += 1) other.data.fill(0.4, row * frame.width, row * frame.width + 320);
    const chosen = chooseAnchors([still, other], [], 6);
    expect(chosen.length).toBeGreaterThan(2);
    for (const crop of chosen) expect(crop.x + crop.width / 2).toBeGreaterThan(300);
  });
});

describe('createTracker', () => {
  it('tells sub-pixel shifts within 0.1 px anywhere in the frame, under noise of 1 %', () => {
    const tracker = start();
    const random = createRandom('shifts');
    for (let count = 0; count < 12; count += 1) {
      const shift = { dx: 4 * (random.uniform() - 0.5), dy: 4 * (random.uniform() - 0.5) };
      const found = tracker.track(look({ shift, seed: `s${count}` }));
      expect(misplacement(found, shift)).toBeLessThan(0.1);
      expect(found.confidence).toBeGreaterThan(0.9);
    }
  });

  it('follows a knock of 3 to 8 px at once', () => {
    for (const [dx, dy] of [
      [3, -2],
      [-5.4, 4.1],
      [8, 0],
      [0.3, -7.9],
    ] as const) {
      const tracker = start();
      tracker.track(look({ seed: 'before' }));
      expect(misplacement(tracker.track(look({ shift: { dx, dy }, seed: 'after' })), { dx, dy })).toBeLessThan(0.1);
    }
  });

  it('tells rotation and scale from shift (corners within 0.25 px, far from the anchors)', () => {
    for (const shift of [
      { rotation: 0.004, dx: 2 },
      { scale: 1.004 },
      { rotation: -0.006, scale: 0.997, dx: -3, dy: 2 },
    ]) {
      expect(misplacement(start().track(look({ shift, seed: 'turned' })), shift)).toBeLessThan(0.25);
    }
  });

  it('follows a large nudge at once where the crops have room for it', () => {
    const wide = chooseAnchors(viewFrame(scene), [], 6, { marginPixels: 44 });
    const seen = (viewing: Viewing): ReturnType<typeof viewCrop>[] =>
      wide.map((crop) => viewCrop(scene, crop, { step: 1, ...viewing }));
    const shifts = [
      { dx: 30.4, dy: -21.7 },
      { dx: -40.2, dy: 0.6 },
      { dx: 12, dy: 38.5 },
      { dx: 25, dy: 5, rotation: 0.004 },
    ];
    for (const shift of shifts) {
      const tracker = createTracker(seen({ seed: 'first' }), frame);
      const found = tracker.track(seen({ shift, seed: 'after' }));
      expect(misplacement(found, shift)).toBeLessThan(shift.rotation === undefined ? 0.1 : 0.25);
      expect(found.confidence).toBeGreaterThan(0.9);
    }
  });

  it('is not fooled by brightness and contrast', () => {
    const shift = { dx: 1.3, dy: -0.6 };
    for (const gain of [0.6, 0.9, 1.1]) {
      expect(misplacement(start().track(look({ shift, gain, offset: 0.04, seed: 'light' })), shift)).toBeLessThan(0.1);
    }
  });

  it('stays with the frame when two of six anchors are covered or moved on their own', () => {
    const shift = { dx: -2.2, dy: 1.4 };
    const pixels = look({ shift, seed: 'covered' });
    pixels[0]!.red.fill(0.2);
    pixels[0]!.green.fill(0.2);
    pixels[0]!.blue.fill(0.2);
    pixels[1] = viewCrop(scene, anchors[1]!, { shift: { dx: 5, dy: 5 } });
    const found = start().track(pixels);
    expect(misplacement(found, shift)).toBeLessThan(0.15);
    expect(found.anchors).toBe(4);
    expect(found.confidence).toBeLessThan(0.7);
  });

  it('says so when nothing is found again', () => {
    const tracker = start();
    tracker.track(look({ shift: { dx: 1 }, seed: 'known' }));
    const lost = tracker.track(look({ gain: 0, seed: 'dark' }));
    expect(lost.confidence).toBeLessThan(0.2);
    expect(start({ gain: 0, noise: 0 }).anchors).toBe(0);
  });

  it('gives the same at full resolution', () => {
    const shift = { dx: 2.7, dy: -1.1 };
    expect(misplacement(start({ step: 1 }).track(look({ shift, step: 1, seed: 'full' })), shift)).toBeLessThan(0.1);
  });

  it('uses edges across themselves only: upright glass edges tell dx, a shelf edge tells dy', () => {
    const edges = (x: number, y: number): number =>
      0.5 + (y < 400 ? 0.2 * Math.tanh(Math.sin(x / 17) * 6) : 0.2 * Math.tanh((y - 470) / 2));
    const crops: CropRequest[] = [
      [100, 100],
      [700, 100],
      [400, 200],
      [300, 430],
    ].map(([x, y], index) => ({ id: `e${index}`, kind: 'anchor', x: x!, y: y!, width: 64, height: 64 }));
    const view = (viewing: Viewing): ReturnType<typeof viewCrop>[] =>
      crops.map((crop) => viewCrop(edges, crop, viewing));
    const found = createTracker(view({ seed: 'a' }), frame).track(view({ shift: { dx: 3.4, dy: -2.3 }, seed: 'b' }));
    expect(found.dx).toBeCloseTo(3.4, 0);
    expect(Math.abs(found.dx - 3.4)).toBeLessThan(0.15);
    expect(Math.abs(found.dy + 2.3)).toBeLessThan(0.15);
  });
});
