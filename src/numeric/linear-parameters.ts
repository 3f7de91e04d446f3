import type { VectorFunction } from './numeric-jacobian.ts';
import { numericalRank, pivotedQr, solveQr } from './pivoted-qr.ts';

/** Departure from a straight line (relative) below which a parameter counts as entering linearly. */
const straight = 1e-9;

/**
 * Parameters in which the model is jointly linear (affine) as far as two probes can tell, among the candidates, e.g. the amplitudes of a sum
 * of exponentials. Their best values follow from the others, so a start needs to be good for the others only.
 */
export function linearParameters(
  evaluate: VectorFunction,
  at: Float64Array,
  candidates: readonly number[],
): readonly number[] {
  const found: number[] = [];
  const value = evaluate(at);
  const probe = (set: readonly number[], factor: number): Float64Array => {
    const moved = at.slice();
    for (const j of set) moved[j] = at[j]! === 0 ? factor : at[j]! * (1 + factor);
    return evaluate(moved);
  };
  for (const j of candidates) {
    const set = [...found, j];
    const one = probe(set, 1.25);
    const two = probe(set, 2.5);
    const alone = probe([j], 1.25);
    const rest = probe(found, 1.25);
    let size = 0;
    let bend = 0;
    for (let i = 0; i < value.length; i += 1) {
      size = Math.max(size, Math.abs(value[i]!), Math.abs(two[i]!));
      bend = Math.max(bend, Math.abs(two[i]! - 2 * one[i]! + value[i]!));
      bend = Math.max(bend, Math.abs(one[i]! - alone[i]! - rest[i]! + value[i]!));
    }
    if (Number.isFinite(size) && bend <= straight * size && size > 0) found.push(j);
  }
  return found;
}

/**
 * The start with its linear parameters at their least-squares values for the given others. `null` where that system
 * is not finite or has no unique solution. `residuals` are prediction minus observation.
 */
export function projectLinear(
  residuals: VectorFunction,
  at: Float64Array,
  linear: readonly number[],
): Float64Array | null {
  const base = at.slice();
  for (const j of linear) base[j] = 0;
  const offset = residuals(base);
  const units = linear.map((j) => (at[j]! === 0 ? 1 : Math.abs(at[j]!)));
  const columns = linear.map((j, k) => {
    const moved = base.slice();
    moved[j] = units[k]!;
    const column = residuals(moved);
    for (let i = 0; i < column.length; i += 1) column[i]! -= offset[i]!;
    return column;
  });
  if (![offset, ...columns].every((column) => column.every(Number.isFinite))) return null;
  const lengths = columns.map((column) => Math.hypot(...column));
  if (lengths.some((length) => length === 0)) return null;
  const qr = pivotedQr(
    columns.map((column, k) => column.map((entry) => entry / lengths[k]!)),
    offset.map((entry) => -entry),
  );
  if (numericalRank(qr, 1e-12) < linear.length) return null;
  const solved = solveQr(qr);
  linear.forEach((j, k) => (base[j] = (solved[k]! / lengths[k]!) * units[k]!));
  return base;
}
