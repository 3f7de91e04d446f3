import { findVials } from '../../find/index.ts';
import type { RectRegion, Region } from '../../model/region.ts';
import type { Proposals } from '../messages.ts';
import type { ShrunkImage } from './shrink.ts';

/**
 * Proposes vials and neutral patches from frames spread over the source, in pixels of the whole frame. All frames of the strips are
 * looked at: of the demo's 16 vials 9 frames showed 12, 20 frames 15, because quick vials pale within the first hour.
 */
export function findRegions(looks: readonly ShrunkImage[]): Proposals {
  const { regions, white, confidence } = findVials(looks);
  const factor = looks[0]?.factor ?? 1;
  const whole = ({ id, x, y, width, height }: RectRegion): Region => ({
    ...{ id, shape: 'rect', x: x * factor, y: y * factor },
    ...{ width: width * factor, height: height * factor },
  });
  return { regions: regions.map(whole), white: white.map(whole), confidence };
}
