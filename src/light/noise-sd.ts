import { robustSd } from '../numeric/robust-sd.ts';

/** Deviation of each value from the mean of its two neighbours; `null` at the ends and beside unknowns. */
export function roughness(values: readonly (number | null)[]): (number | null)[] {
  return values.map((value, index) => {
    const before = values[index - 1] ?? null;
    const after = values[index + 1] ?? null;
    return value === null || before === null || after === null ? null : value - (before + after) / 2;
  });
}

/** Standard deviation of frame-to-frame noise, from {@link roughness} (whose variance is 1.5 times as large); 0 of too few values. */
export function noiseSd(values: readonly (number | null)[]): number {
  const rough = roughness(values).filter((value) => value !== null);
  return rough.length < 3 ? 0 : robustSd(rough)! / Math.sqrt(1.5);
}
