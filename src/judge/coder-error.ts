import { boundingBox } from '../model/region-box.ts';
import type { Vial } from '../model/run.ts';
import type { JudgeInput } from './types.ts';

/**
 * Standard error, extent times pixels, of a vial that moved in a film whose coder holds blocks (note `film-coarsely-coded`): the picture stays
 * behind a slow change by up to a step of 8 bits in chroma, and once the vial stands still it stays so. Over the root of the region's pixels, because every block
 * stays behind on its own. Measured on modelled H.264 of rate factor 16 to 23 (24 films, 84 vials half-way at the reading time): films of
 * 640 x 360 were off by 0.023 (root mean square) where 0.014 was stated, those of 1280 x 720 by no more than stated. Since chroma is moved on by
 * what it lags (`src/light/coder-lag.ts`), films of 640 x 360 are off by 0.020 where 0.025 is stated (24 racks): left as it was, on the wide side.
 */
const perRootPixel = 0.5;

/** What the film's coder may have left behind of a vial's change at an extent; 0 for other media and for mixtures, which stand still. Never more than the change itself. */
export function coderError(
  { measurement, run }: Pick<JudgeInput, 'measurement' | 'run'>,
  { role, region }: Vial,
  extent: number,
): number {
  if (role === 'mixture' || !measurement.notes.some(({ code }) => code === 'film-coarsely-coded')) return 0;
  const found = run.rig.regions.find(({ id }) => id === region);
  if (found === undefined) return 0;
  const { left, top, right, bottom } = boundingBox(found);
  const pixels = Math.max((right - left) * (bottom - top), 1);
  return Math.min(perRootPixel / Math.sqrt(pixels), Math.abs(extent), Math.max(1 - extent, 0));
}
