import { findVials } from '../../find/index.ts';
import type { RectRegion, Region } from '../../model/region.ts';
import type { Proposals } from '../messages.ts';
import { spreadIndices } from './frame-store.ts';
import type { ShrunkImage } from './shrink.ts';

/**
 * Proposes vials and neutral patches from frames spread over the source, in pixels of the whole frame. All frames of the strips are
 * looked at: of the demo's 16 vials 9 frames showed 12, 20 frames 15, because quick vials pale within the first hour.
 */
export function findRegions(looks: readonly ShrunkImage[], frames: number): Proposals {
  const { regions, filled, white, confidence } = findVials(looks);
  const factor = looks[0]?.factor ?? 1;
  const whole = ({ id, x, y, width, height }: RectRegion): Region => ({
    ...{ id, shape: 'rect', x: x * factor, y: y * factor },
    ...{ width: width * factor, height: height * factor },
  });
  return {
    regions: regions.map(whole),
    filled,
    white: white.map(whole),
    confidence,
    frame: spreadIndices(frames)[mostSeen(looks, regions)] ?? 0,
  };
}

/** The first look in which the regions together are as colourful as they nearly ever get: all vials hold reagent by then. */
function mostSeen(looks: readonly ShrunkImage[], regions: readonly RectRegion[]): number {
  const colourful = looks.map((look) =>
    regions.reduce((sum, { x, y, width, height }) => {
      const at = 3 * (Math.round(y + height / 2) * look.width + Math.round(x + width / 2));
      const [red, green, blue] = [look.data[at] ?? 0, look.data[at + 1] ?? 0, look.data[at + 2] ?? 0];
      return sum + Math.max(red, green, blue) - Math.min(red, green, blue);
    }, 0),
  );
  const most = Math.max(0, ...colourful);
  return Math.max(
    0,
    colourful.findIndex((sum) => sum >= 0.9 * most),
  );
}
