import { interpolate } from '../numeric/interpolate.ts';
import { physicsCount, type PathParameter } from './path-parameters.ts';
import { pathExtents } from './path-physics.ts';

/**
 * What spectra, lamp and camera as assumed cannot follow: a factor on each channel of the path, a smooth function of
 * extent, the same for all vials. With it, vials are told apart as finely as their colours are measured, while the
 * common misfit stays as wide as it is. Measured on 80 racks of two physics: extent of still vials in a row without
 * references off by 0.022 (root mean square) without it, 0.015 with; worst error of a rack 0.030 and 0.022.
 */
const misfitExtents: readonly number[] = [0, 0.25, 0.5, 0.75, 1];

/** Standard deviation of the factor's log, red, green, blue. Chosen: about what one colour was off the physics alone. */
const misfitSd: readonly number[] = [0.015, 0.015, 0.1];

/** The priors, channel by channel in order of extent. */
export const misfitPrior: readonly PathParameter[] = ['red', 'green', 'blue'].flatMap((channel, which) =>
  misfitExtents.map((extent) => ({ name: `misfit of ${channel} at extent ${extent}`, mean: 0, sd: misfitSd[which]! })),
);

/** All unknowns of a path: physics, then misfit. */
export const parameterCount = physicsCount + misfitPrior.length;

/** Share of each knot on the extent grid: straight lines between knots, level beyond them. */
const shares: readonly (readonly number[])[] = misfitExtents.map((_, knot) =>
  pathExtents.map((extent) =>
    interpolate(
      misfitExtents,
      misfitExtents.map((__, other) => (other === knot ? 1 : 0)),
      Math.min(1, Math.max(0, extent)),
    ),
  ),
);

/** The factor on every linear colour of the path (three values an extent) that `logs` say; `null`: none moves it. */
export function misfitFactors(logs: ArrayLike<number>): Float64Array | null {
  let moved = false;
  for (let which = 0; which < misfitPrior.length; which += 1) moved ||= logs[which]! !== 0;
  if (!moved) return null;
  const factors = new Float64Array(pathExtents.length * 3);
  for (let index = 0; index < factors.length; index += 1) {
    const place = Math.floor(index / 3);
    const first = (index % 3) * misfitExtents.length;
    let log = 0;
    for (let knot = 0; knot < misfitExtents.length; knot += 1) log += shares[knot]![place]! * logs[first + knot]!;
    factors[index] = Math.exp(log);
  }
  return factors;
}

/** Multiplies the path's linear colours, in place, by the factors of {@link misfitFactors}. */
export function withFactors(linear: Float64Array, factors: Float64Array | null): Float64Array {
  if (factors !== null) for (let index = 0; index < linear.length; index += 1) linear[index]! *= factors[index]!;
  return linear;
}

/** Derivative of the path's linear colours by one of the logs, numbered as in {@link misfitPrior}. */
export function misfitDerivative(linear: ArrayLike<number>, which: number): Float64Array {
  const channel = Math.floor(which / misfitExtents.length);
  const share = shares[which % misfitExtents.length]!;
  const derivative = new Float64Array(linear.length);
  for (let place = 0; place < share.length; place += 1) {
    derivative[place * 3 + channel] = linear[place * 3 + channel]! * share[place]!;
  }
  return derivative;
}
