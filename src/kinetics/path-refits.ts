import { interpolate } from '../numeric/interpolate.ts';
import type { CandidateFit } from './fit-candidate.ts';
import type { PathDraws } from './kinetic-series.ts';
import { refine } from './refine.ts';

/** Draws used; chosen: a standard deviation from 24 draws is known to 15 %, and refits take a third of the time. */
const mostDraws = 24;

/** The model's parameters under each plausible path: the errors all vials share, taken through the whole fit. */
export function pathRefits(candidate: CandidateFit, paths: PathDraws | null): readonly Float64Array[] {
  if (paths === null) return [];
  const { model, target, fit } = candidate;
  return paths.draws.slice(0, mostDraws).map((draw) => {
    const extent = target.extent.map((value) => value + interpolate(paths.extent, draw, value));
    return refine(model, { ...target, extent }, fit.b, 2).b;
  });
}

/** Standard deviation over the refits of a quantity about its value at the best fit; 0 without refits. */
export function pathSpread(
  refits: readonly Float64Array[],
  quantity: (b: Float64Array) => number | null,
  value: number,
): number {
  const squares = refits.flatMap((b) => {
    const other = quantity(b);
    return other === null || !Number.isFinite(other) ? [] : [(other - value) ** 2];
  });
  return squares.length < 2 ? 0 : Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}
