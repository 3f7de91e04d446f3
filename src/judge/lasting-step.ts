import { median } from '../numeric/median.ts';

/** Values by frame, `null` unknown. */
type Values = readonly (number | null)[];

/** Frames on either side whose medians make a step; and the farther ones by which it must last. Chosen. */
const near = 3;
const farFrom = 2;
const farTo = 6;
/** Share of the step that must come between two frames, and by how much the farther frames may disagree. Chosen: a ramp fails both. */
const sharpShare = 0.6;
const lastingShares = [0.7, 1.4] as const;

/** Step of the medians from the frames before position `at` to those from it on; `null` with fewer than two known on a side. */
export function stepAt(values: Values, at: number): number | null {
  return between(values.slice(Math.max(0, at - near), at), values.slice(at, at + near), 2);
}

/** Whether most of a step of this size comes between the frames before and at `at`. */
export function isSharp(values: Values, at: number, step: number): boolean {
  const [before, now] = [values[at - 1] ?? null, values[at] ?? null];
  return before !== null && now !== null && (now - before) / step >= sharpShare;
}

/** Whether a step of this size at `at` comes between two frames and stays. */
export function isSharpAndLasts(values: Values, at: number, step: number): boolean {
  if (!isSharp(values, at, step)) return false;
  const far = between(
    values.slice(Math.max(0, at - 1 - farTo), at - farFrom),
    values.slice(at + farFrom, at + farTo + 1),
    3,
  );
  return far !== null && far / step > lastingShares[0] && far / step < lastingShares[1];
}

function between(before: Values, after: Values, fewest: number): number | null {
  const [first, second] = [before, after].map((side) => side.filter((value) => value !== null));
  return first!.length < fewest || second!.length < fewest ? null : median(second!)! - median(first!)!;
}
