import type { Fit } from '../model/fit.ts';
import { averagedCurve, type CurveParts } from './averaged-curve.ts';
import type { PathDraws } from './kinetic-series.ts';
import { detectionInterval, type Detection } from './onset.ts';
import { pathBends } from './path-bends.ts';

/** All of a fit that takes long and that the reading time has no part in; plain, so that it can be kept. */
export interface SeriesFit {
  /** Without its curve, and without the interval of an onset that was `detected`. */
  readonly fit: Fit;
  /** `null` when nothing could be fitted. */
  readonly curve: CurveParts | null;
  readonly detected: Detection | null;
}

/** The whole fit, its curve with a point at the reading time. `pathDraws` are those that the series was fitted with. */
export function atReadingTime(
  { fit, curve: parts, detected }: SeriesFit,
  pathDraws: PathDraws | null,
  readAtS: number | null,
): Fit {
  if (parts === null) return fit;
  const curve = averagedCurve(parts, readAtS, pathBends(pathDraws));
  if (fit.onsetS === null || detected === null) return { ...fit, curve };
  return { ...fit, onsetS: { ...fit.onsetS, ci95: detectionInterval(curve, detected) }, curve };
}
