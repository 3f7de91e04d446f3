import { type Backdrop, unseenFallOff } from '../model/backdrop.ts';
import { cholesky, solveCholesky } from '../numeric/cholesky.ts';
import { medianOfAll } from '../numeric/median.ts';
import { robustSd } from '../numeric/robust-sd.ts';

/** One piece of backdrop in one look. */
export interface BackdropPiece {
  /** From the frame's centre, half a diagonal = 1. */
  readonly place: readonly [number, number];
  /** Linear colour in each look; `null` where it could not be read. */
  readonly rgb: readonly (readonly [number, number, number] | null)[];
}

/** Fewest pieces, and share of all, that must agree. Chosen: four unknowns need more than four pieces. */
export const fewestPieces = 6;
const leastShare = 0.7;
/** Linear level below which a piece is no light backdrop; light that comes through a vial comes from behind it. Chosen. */
const darkest = 0.05;
/** Log brightness within which pieces must lie on the smooth surface, and log ratio of channels to be of one colour. Chosen: paper and card do, racks and bench tops do not. */
const evenWithin = 0.03;
/** What a piece may be off by before it is left out, at the least. Chosen. */
const smallestSd = 0.01;
/** What is believed of the constant, which tells nothing, and of the fall-off before anything is seen. */
const priorSd = [1, unseenFallOff.tiltX, unseenFallOff.tiltY, unseenFallOff.fallOff] as const;

/**
 * The fall-off of light that the pieces show. `null` when they are no even backdrop: too few, dark, of several colours, or not on one
 * smooth surface. Pieces by which somebody's hand or a label stands are left out.
 */
export function fitBackdrop(pieces: readonly BackdropPiece[]): Backdrop | null {
  const seen = pieces.flatMap(({ place, rgb }) => {
    const known = rgb.filter((colour) => colour !== null);
    const middle = ([0, 1, 2] as const).map((channel) => medianOfAll(known.map((colour) => colour[channel])));
    return known.length === 0 || middle.some((value) => !(value > darkest)) ? [] : [{ place, middle }];
  });
  const need = Math.max(fewestPieces, leastShare * pieces.length);
  if (seen.length < need) return null;
  const colours = seen.map(({ middle }) => [Math.log(middle[0]! / middle[1]!), Math.log(middle[2]! / middle[1]!)]);
  const usual = [0, 1].map((which) => medianOfAll(colours.map((one) => one[which]!)));
  const plain = seen.filter((_, at) => [0, 1].every((w) => Math.abs(colours[at]![w]! - usual[w]!) < 3 * evenWithin));
  let kept = plain.map(({ place: [x, y], middle }) => ({
    terms: [1, x, y, x * x + y * y],
    log: middle.reduce((sum, value) => sum + Math.log(value) / 3, 0),
  }));
  for (;;) {
    if (kept.length < need) return null;
    const centre = medianOfAll(kept.map(({ log }) => log));
    const surface = solve(kept.map((one) => ({ ...one, log: one.log - centre })));
    if (surface === null) return null;
    const off = kept.map(({ terms, log }) => log - centre - dot(terms, surface));
    const sd = Math.max(smallestSd, robustSd(off)!);
    const agree = kept.filter((_, at) => Math.abs(off[at]!) <= 3 * sd);
    if (agree.length < kept.length) {
      kept = agree;
      continue;
    }
    const residual = Math.sqrt(off.reduce((sum, value) => sum + value ** 2, 0) / Math.max(1, kept.length - 4));
    if (residual > evenWithin) return null;
    return { tiltX: surface[1]!, tiltY: surface[2]!, fallOff: surface[3]!, residual, pieces: kept.length };
  }
}

const dot = (terms: readonly number[], surface: ArrayLike<number>): number =>
  terms.reduce((sum, term, at) => sum + term * surface[at]!, 0);

/** Least squares with the priors' spreads, so that pieces in one row do not send the rest anywhere. */
function solve(pieces: readonly { readonly terms: readonly number[]; readonly log: number }[]): Float64Array | null {
  const size = priorSd.length;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  priorSd.forEach((sd, at) => (matrix[at * size + at] = (smallestSd / sd) ** 2));
  for (const { terms, log } of pieces) {
    terms.forEach((term, row) => {
      right[row]! += term * log;
      terms.forEach((other, column) => (matrix[row * size + column]! += term * other));
    });
  }
  const factor = cholesky(matrix, size);
  return factor === null ? null : solveCholesky(factor, right);
}
