/**
 * Seconds as people at a bench say them: `45 s`, `12 min`, `2 h 05 min`, `76 h 00 min`.
 * Below a minute to the second, below 10 minutes with seconds (`2 min 30 s`), above to the minute.
 */
export function formatDuration(seconds: number): string {
  if (!Number.isFinite(seconds)) return '–';
  const sign = seconds < -0.5 ? '−' : '';
  const total = Math.abs(seconds);
  if (total < 59.5) return `${sign}${Math.round(total)} s`;
  if (total < 600) {
    const whole = Math.round(total);
    const rest = whole % 60;
    return `${sign}${Math.floor(whole / 60)} min${rest === 0 ? '' : ` ${rest} s`}`;
  }
  const minutes = Math.round(total / 60);
  if (minutes < 60) return `${sign}${minutes} min`;
  const hours = Math.floor(minutes / 60);
  return `${sign}${hours} h ${String(minutes % 60).padStart(2, '0')} min`;
}

/** Unit of a time axis: minutes up to an hour and a half, else hours; `divisor` turns seconds into it. */
export function timeUnit(spanS: number): { readonly name: 'min' | 'h'; readonly divisor: number } {
  return spanS <= 5400 ? { name: 'min', divisor: 60 } : { name: 'h', divisor: 3600 };
}

/**
 * Step in seconds to which a time of that standard error is rounded: the largest whole step of a clock not above it, so
 * that one or two digits of the error are kept. `null` or nil: to the second.
 */
export function durationStep(se: number | null): number {
  const steps = [10, 30, 60, 300, 600, 1800, 3600].filter((step) => se !== null && step <= se);
  return steps.at(-1) ?? 1;
}
