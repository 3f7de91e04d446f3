import { expect, it } from 'vitest';
import type { Shift } from '../../src/model/shift.ts';
import type { GreyImage } from '../../src/motion/grey-image.ts';
import { shrinkGrey } from '../../src/motion/grey-image.ts';
import { registerThumbnail } from '../../src/motion/register-thumbnail.ts';
import { drawScene, frame, viewFrame } from './scene.ts';

const scene = drawScene('bench');
const thumbnail = shrinkGrey(viewFrame(scene), 320).image;
const liquid = [{ id: 'A1', shape: 'rect', x: 400, y: 150, width: 160, height: 240 }] as const;

/** The scene through a camera moved since, under brighter light. */
function moved({ dx = 0, dy = 0, rotation = 0, scale = 1 }: Partial<Shift>): GreyImage {
  const cos = Math.cos(rotation) / scale;
  const sin = Math.sin(rotation) / scale;
  return viewFrame((px, py) => {
    const [x, y] = [px - frame.width / 2 - dx, py - frame.height / 2 - dy];
    return 0.05 + 1.1 * scene(frame.width / 2 + cos * x + sin * y, frame.height / 2 - sin * x + cos * y);
  });
}

it.each<Partial<Shift>>([
  {},
  { dx: 5.3, dy: -3.6 },
  { dx: -20, dy: 12 },
  { dx: 3, dy: 2, rotation: 0.005 },
  { dx: -4, dy: 1, scale: 1.003 },
])('a small picture tells where the frame lies, within half a pixel of the frame: %o', (shift) => {
  const found = registerThumbnail(thumbnail, moved(shift), liquid)!;
  expect(found.confidence).toBeGreaterThan(0.8);
  for (const [x, y] of [
    [0, 0],
    [-300, -150],
    [300, 150],
  ] as const) {
    const at = ({ dx = 0, dy = 0, rotation = 0, scale = 1 }: Partial<Shift>): [number, number] => [
      dx + scale * (Math.cos(rotation) * x - Math.sin(rotation) * y),
      dy + scale * (Math.sin(rotation) * x + Math.cos(rotation) * y),
    ];
    const [fx, fy] = at(found);
    const [tx, ty] = at(shift);
    expect(Math.hypot(fx - tx, fy - ty)).toBeLessThan(0.5);
  }
});

it('another scene is not recognised, and an empty picture gives nothing to hold on to', () => {
  const other = drawScene('another bench');
  const found = registerThumbnail(thumbnail, viewFrame(other), liquid);
  expect(found === null || found.confidence < 0.5).toBe(true);
  const empty = { width: 320, height: 180, data: new Float32Array(320 * 180).fill(0.5) };
  expect(registerThumbnail(empty, moved({}), liquid)).toBeNull();
});
