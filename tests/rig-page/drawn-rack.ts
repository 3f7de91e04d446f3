import { lookShares } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { FrameAccess } from '../../src/rig-page/index.ts';

export const drawnSize = { width: 960, height: 540 } as const;
const frames = 40;

/** Where the liquid of a vial lies in the drawn frames. */
export const liquidOf = (row: number, column: number) => ({
  x: 130 + column * 120,
  y: 120 + row * 210,
  width: 60,
  height: 90,
});

const orange = [206, 110, 24] as const;
const green = [58, 104, 74] as const;

/** A rack of 2 x 6 vials on grey: rows of liquid in glass, a stripe of glare, odd columns turning green over the run. */
export function drawRack(index: number): RgbImage {
  const { width, height } = drawnSize;
  const data = new Uint8Array(3 * width * height).fill(176);
  const box = (x: number, y: number, w: number, h: number, colour: readonly number[]): void => {
    for (let row = y; row < y + h; row += 1) {
      for (let column = x; column < x + w; column += 1) data.set(colour, 3 * (row * width + column));
    }
  };
  for (let row = 0; row < 2; row += 1) {
    for (let column = 0; column < 6; column += 1) {
      const { x, y, width: w, height: h } = liquidOf(row, column);
      const turned = column % 2 === 0 ? 0 : Math.min(1, (index / (frames - 1)) * (1 + row));
      const liquid = orange.map((from, channel) => Math.round(from + turned * (green[channel]! - from)));
      box(x - 8, y - 60, w + 16, h + 70, [150, 152, 153]);
      box(x, y - 55, w, 55, [188, 190, 191]);
      box(x, y, w, h, liquid);
      box(x + 12, y - 50, 5, h + 45, [250, 250, 250]);
    }
  }
  box(30, 480, 80, 40, [232, 232, 232]);
  return { width, height, data };
}

/** The drawn rack as a film of 40 frames, 4 s of playback. */
export function drawnAccess(): FrameAccess {
  return {
    facts: {
      ...{ name: 'overnight.mp4', kind: 'video', ...drawnSize, frames },
      ...{ sampleSide: 1, transferTag: null },
      ...{ playbackS: 4, clockLengthS: null, notes: [] },
    },
    still: async (index) => drawRack(index),
    looks: async function* () {
      for (const share of lookShares) {
        yield { timeRunS: 4 * share, image: () => drawRack(Math.floor(share * (frames - 1))), regions: () => null };
      }
    },
    close: async () => {},
  };
}
