/** Pieces of a tone curve: degree of its polynomial. Chosen: bends of phone cameras are followed to about one step of 8 bit. */
export const tonePieces = 6;

/**
 * A monotone curve of the unit interval onto itself: a Bernstein polynomial with rising coefficients. `bend` are logarithms of the
 * rises against even ones (one fewer than pieces; the last is 0); all 0 is the identity. Beyond the interval it goes on straight.
 */
export interface ToneCurve {
  at(encoded: number): number;
  slope(encoded: number): number;
}

export function toneCurve(bend: ArrayLike<number>): ToneCurve {
  const rises = Array.from({ length: tonePieces }, (_, piece) => Math.exp(bend[piece] ?? 0));
  const total = rises.reduce((sum, rise) => sum + rise, 0);
  const coefficients = [0];
  for (const rise of rises) coefficients.push(coefficients.at(-1)! + rise / total);
  const slope = (x: number): number => {
    const inside = Math.min(1, Math.max(0, x));
    return (tonePieces * bernstein(rises, inside)) / total;
  };
  return {
    at(x) {
      if (x < 0) return x * slope(0);
      if (x > 1) return 1 + (x - 1) * slope(1);
      return bernstein(coefficients, x);
    },
    slope,
  };
}

/** Bernstein polynomial with these coefficients, by de Casteljau's rule. */
function bernstein(coefficients: readonly number[], x: number): number {
  const work = [...coefficients];
  for (let level = work.length - 1; level > 0; level -= 1) {
    for (let index = 0; index < level; index += 1) work[index] = work[index]! + x * (work[index + 1]! - work[index]!);
  }
  return work[0]!;
}
