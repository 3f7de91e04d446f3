/** One absorber of a mixture: absorptivities on the common grid and mol/L. */
export interface Absorber {
  readonly epsilon: ArrayLike<number>;
  readonly concentrationMolL: number;
}

/** Decadic absorbance per cm of a mixture on the grid. Throws RangeError for absorbers of unequal length. */
export function absorbancePerCm(absorbers: readonly Absorber[]): Float64Array {
  const sum = new Float64Array(absorbers[0]?.epsilon.length ?? 0);
  for (const { epsilon, concentrationMolL } of absorbers) {
    if (epsilon.length !== sum.length) throw new RangeError('absorbers are not on one grid');
    for (let index = 0; index < sum.length; index += 1) sum[index]! += epsilon[index]! * concentrationMolL;
  }
  return sum;
}

/** Transmittance 0..1 of a layer of `pathCm` with the given absorbance per cm. */
export function layerTransmittance(perCm: ArrayLike<number>, pathCm: number): Float64Array {
  return Float64Array.from(perCm, (value) => Math.exp(-Math.LN10 * value * pathCm));
}
