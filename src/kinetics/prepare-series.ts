import { findOutliers } from './find-outliers.ts';
import type { KineticSeries } from './kinetic-series.ts';

/** A series ready to fit: usable frames only, long ones averaged, time in units of the span. */
export interface PreparedSeries {
  /** 0..1: seconds since dosing over `spanS`. */
  readonly time: Float64Array;
  readonly extent: Float64Array;
  /** Standard error of a frame relative to the typical frame. */
  readonly relativeSe: Float64Array;
  /** Frames averaged in each point, and the time they cover (spans). */
  readonly frames: Float64Array;
  readonly width: Float64Array;
  /** Whether any point averages several frames. */
  readonly averaged: boolean;
  /** Last usable time, seconds. */
  readonly spanS: number;
  readonly firstS: number;
  /** Typical time between usable frames, spans. */
  readonly gap: number;
  readonly outliers: readonly number[];
}

/** Series up to this length are not averaged. */
const mostPoints = 150;
/** Averaged points grow by this share of the frames before them: quick beginnings keep their frames. */
const growth = 0.06;
/** Noise ratios beyond these are not believed (they would leave a stretch without or with all the weight). */
const seRange = [0.25, 8] as const;

/** A sentence instead when there is too little to fit: fewer than 5 usable frames after dosing. */
export function prepareSeries(series: KineticSeries): PreparedSeries | string {
  const { timeS, extent, extentSe } = series;
  if (timeS.length !== extent.length || timeS.length !== extentSe.length) {
    throw new RangeError(`fitKinetics: ${timeS.length} times, ${extent.length} extents, ${extentSe.length} errors`);
  }
  const readable = timeS.flatMap((time, i) => {
    const value = extent[i];
    return time >= 0 && Number.isFinite(time) && typeof value === 'number' && Number.isFinite(value) ? [i] : [];
  });
  const outlying = findOutliers(readable.map((i) => extent[i]!));
  const usable = readable.filter((_, k) => !outlying[k]);
  if (usable.length < 5) return `only ${usable.length} readable frames after dosing; at least 5 are needed`;
  const spanS = timeS[usable[usable.length - 1]!]!;
  const firstS = timeS[usable[0]!]!;
  if (!(spanS > firstS)) return 'all readable frames have the same time';

  const typical = typicalSe(usable.map((i) => extentSe[i] ?? null));
  const bins = binSizes(usable.length);
  const time = new Float64Array(bins.length);
  const value = new Float64Array(bins.length);
  const relativeSe = new Float64Array(bins.length);
  const width = new Float64Array(bins.length);
  let from = 0;
  bins.forEach((size, k) => {
    let timeSum = 0;
    let sum = 0;
    let squares = 0;
    for (let j = from; j < from + size; j += 1) {
      const i = usable[j]!;
      timeSum += timeS[i]!;
      sum += extent[i]!;
      const se = extentSe[i];
      const ratio = typeof se === 'number' && se > 0 && typical > 0 ? se / typical : 1;
      squares += Math.min(Math.max(ratio, seRange[0]), seRange[1]) ** 2;
    }
    time[k] = timeSum / size / spanS;
    value[k] = sum / size;
    relativeSe[k] = Math.sqrt(squares / size);
    width[k] = ((timeS[usable[from + size - 1]!]! - timeS[usable[from]!]!) * size) / Math.max(size - 1, 1) / spanS;
    from += size;
  });
  const gap = (spanS - firstS) / spanS / (usable.length - 1);
  const outliers = readable.filter((_, k) => outlying[k]);
  return {
    time,
    extent: value,
    relativeSe,
    frames: Float64Array.from(bins),
    width,
    averaged: usable.length > mostPoints,
    spanS,
    firstS,
    gap,
    outliers,
  };
}

function binSizes(count: number): readonly number[] {
  if (count <= mostPoints) return new Array<number>(count).fill(1);
  const most = Math.ceil(count / 85);
  const sizes: number[] = [];
  for (let from = 0; from < count;) {
    const size = Math.min(Math.floor(1 + from * growth), most, count - from);
    sizes.push(size);
    from += size;
  }
  return sizes;
}

function typicalSe(errors: readonly (number | null)[]): number {
  const known = Float64Array.from(errors.filter((se) => se !== null && se > 0 && Number.isFinite(se)) as number[]);
  return known.length === 0 ? 0 : known.sort()[known.length >> 1]!;
}
