import { describe, expect, it } from 'vitest';
import { backdropDoubt } from '../../src/cli/backdrop-doubt.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { Region, Rig } from '../../src/model/region.ts';

const vial = (id: string, x: number, y: number): Region => ({ id, shape: 'rect', x, y, width: 30, height: 50 });
const rigOf = (columns: number): Rig => ({
  name: 'bench',
  frame: { width: 640, height: 360 },
  regions: ['A', 'B'].flatMap((row, r) =>
    Array.from({ length: columns }, (_, c) => vial(`${row}${c + 1}`, 100 + 90 * c, 60 + 160 * r)),
  ),
  white: [],
  chart: null,
  thumbnail: null,
});
const picture = (grey: (x: number, y: number) => number): RgbImage => {
  const data = new Uint8Array(640 * 360 * 3);
  for (let y = 0, at = 0; y < 360; y += 1) {
    for (let x = 0; x < 640; x += 1) for (let channel = 0; channel < 3; channel += 1) data[at++] = grey(x, y);
  }
  return { width: 640, height: 360, data };
};

describe('backdrop seen in preview', () => {
  it('is well when it is a plain card, lit from one side', () => {
    expect(
      backdropDoubt(
        rigOf(4),
        picture((x, y) => Math.round(210 - x / 20 - y / 15)),
      ),
    ).toBeNull();
  });

  it('is doubted when it is dark, or a wall of boards', () => {
    expect(
      backdropDoubt(
        rigOf(4),
        picture(() => 25),
      ),
    ).toMatch(/no even, light backdrop/);
    expect(
      backdropDoubt(
        rigOf(4),
        picture((x) => (Math.floor(x / 90) % 2 === 0 ? 210 : 130)),
      ),
    ).toMatch(/plain matt card/);
  });

  it('is not asked for where a rack is too small to show it', () => {
    expect(
      backdropDoubt(
        rigOf(1),
        picture(() => 25),
      ),
    ).toBeNull();
  });
});
