import { createRandom } from '../../src/numeric/random.ts';
import type { Quad } from '../../src/rig-page/page/geometry/quad-map.ts';
import { type DrawnRack, plainRack } from './drawn-racks.ts';

/** A camera held askew, degrees at most. */
const mostTilt = 2;
const layouts = [
  [1, 12],
  [2, 6],
  [3, 4],
] as const;

/** A rack of twelve drawn by chance: layout, place, tilt, board, light, caps, labels, fill, glare, noise and what turns when. */
export function unseenRack(seed: string): DrawnRack {
  const random = createRandom(`unseen ${seed}`);
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const chance = (share: number): boolean => random.uniform() < share;
  const [rows, columns] = layouts[Math.floor(between(0, 3))]!;
  const { width, height } = plainRack;
  const left = between(0.05, 0.15);
  const right = between(0.85, 0.95);
  const top = rows === 1 ? between(0.15, 0.35) : between(0.04, 0.1);
  const bottom = rows === 1 ? top + between(0.35, 0.5) : between(0.88, 0.94);
  const tilt = (between(-mostTilt, mostTilt) * Math.PI) / 180;
  const corner = (x: number, y: number): readonly [number, number] => {
    const [dx, dy] = [(x - 0.5) * width, (y - 0.5) * height];
    return [
      0.5 + (dx * Math.cos(tilt) - dy * Math.sin(tilt)) / width,
      0.5 + (dx * Math.sin(tilt) + dy * Math.cos(tilt)) / height,
    ];
  };
  const colour = (): readonly [number, number, number] => {
    const level = between(0.03, 0.55);
    const hue = (): number => level * between(0.7, 1.3);
    return [hue(), hue(), hue()];
  };
  const fills = Array.from({ length: 12 }, () => between(0.13, 0.4));
  const evenFill = chance(0.4);
  const speeds = Array.from({ length: 12 }, () => (chance(0.4) ? 0 : between(0.2, 4)));
  const dosedAt = chance(0.3) ? 0.2 : -1;
  return {
    ...plainRack,
    ...{ rows, columns },
    corners: [corner(left, top), corner(right, top), corner(right, bottom), corner(left, bottom)] as unknown as Quad,
    ...{ board: colour(), shade: between(-0.4, 0.4), pattern: chance(0.5) ? between(0, 0.25) : 0 },
    cap: chance(0.8) ? colour() : null,
    label: chance(0.3),
    fill: (index) => (evenFill ? fills[0]! : fills[index]!),
    extent: (index, share) => (share < dosedAt ? null : 1 - Math.exp(-speeds[index]! * share)),
    ...{ glare: between(0.2, 0.8), noise: between(0.005, 0.02) },
  };
}
