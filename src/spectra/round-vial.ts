/**
 * Path through the liquid of a round vial seen from the side: the chord at lateral offset `offset`
 * (-1..1 of the inner radius), cm. Rays are taken as straight: the liquid acts as a lens, which is left out here.
 */
function chordCm(innerDiameterCm: number, offset: number): number {
  return innerDiameterCm * Math.sqrt(Math.max(0, 1 - offset * offset));
}

/** Lateral offsets and paths of equally wide columns of a round vial. */
export interface VialColumns {
  /** Middle of each column, -1..1 of the inner radius. */
  readonly offset: Float64Array;
  /** Path there, cm. */
  readonly pathCm: Float64Array;
}

/** The distribution of path across the middle `share` (0..1) of a round vial's width, in `columns` equal columns. */
export function roundVialPathLengths(innerDiameterCm: number, share = 1, columns = 9): VialColumns {
  const offset = Float64Array.from({ length: columns }, (_, index) => share * ((2 * index + 1) / columns - 1));
  return { offset, pathCm: offset.map((value) => chordCm(innerDiameterCm, value)) };
}
