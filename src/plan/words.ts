/** `45 s`, `12 min`, `2 h 15 min`. */
export function duration(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} min`;
  if (minutes > 4320) return `${Math.round(minutes / 1440)} days`;
  const rest = minutes % 60;
  return `${Math.floor(minutes / 60)} h${rest === 0 ? '' : ` ${String(rest).padStart(2, '0')} min`}`;
}

/** Two significant digits. */
export const short = (value: number, digits = 2): string => String(Number(value.toPrecision(digits)));
