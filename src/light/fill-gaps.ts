/** A series without gaps: straight lines across unknown stretches, end values held; and how many frames the nearest known one is away. */
export function fillGaps(values: readonly (number | null)[]): { readonly values: number[]; readonly away: number[] } {
  const known = values.flatMap((value, frame) => (value === null ? [] : [frame]));
  if (known.length === 0) return { values: values.map(() => 0), away: values.map(() => Infinity) };
  const filled: number[] = [];
  const away: number[] = [];
  let next = 0;
  values.forEach((value, frame) => {
    while (next < known.length && known[next]! < frame) next += 1;
    const right = known[Math.min(next, known.length - 1)]!;
    const left = value !== null ? frame : known[Math.max(0, next - 1)]!;
    away.push(value !== null ? 0 : Math.min(Math.abs(frame - left), Math.abs(right - frame)));
    if (value !== null) filled.push(value);
    else if (left === right) filled.push(values[left]!);
    else filled.push(values[left]! + ((frame - left) / (right - left)) * (values[right]! - values[left]!));
  });
  return { values: filled, away };
}
