import { studentTQuantile } from './student-t.ts';

export interface DetectionLimits {
  /** Signal above the blank beyond which it counts as seen (false alarm alpha). */
  readonly criticalLevel: number;
  /** True signal that is missed with chance beta only. */
  readonly detectionLimit: number;
}

/**
 * Critical level and detection limit as net signals, after Currie (IUPAC 1995, Pure Appl. Chem. 67:1699) and ISO 11843:
 * t s0 sqrt(1 + 1/blanks), the sum of both risks' t for the limit (equal scatter at the blank and the limit assumed).
 * With a blank that is known (`blanks` and `df` infinite) and 5 % risks: 1.645 and 3.29 s0. `s0` is the standard
 * deviation between independent vials, never between frames. Throws RangeError for s0 < 0, df <= 0 or blanks < 1.
 */
export function detectionLimits(input: {
  readonly s0: number;
  readonly df: number;
  readonly blanks: number;
  readonly alpha?: number;
  readonly beta?: number;
}): DetectionLimits {
  const { s0, df, blanks, alpha = 0.05, beta = 0.05 } = input;
  if (!(s0 >= 0) || !(df > 0) || !(blanks >= 1)) {
    throw new RangeError(`detectionLimits: s0 ${s0}, df ${df}, blanks ${blanks}`);
  }
  const spread = s0 * Math.sqrt(1 + 1 / blanks);
  const criticalLevel = studentTQuantile(1 - alpha, df) * spread;
  return { criticalLevel, detectionLimit: criticalLevel + studentTQuantile(1 - beta, df) * spread };
}

/** 3.3 and 10 standard deviations over the slope of the calibration line (ICH Q2). `null` for a slope of 0. */
export function calibrationLimits(
  sd: number,
  slope: number,
): { readonly detection: number; readonly quantitation: number } | null {
  if (slope === 0) return null;
  return { detection: (3.3 * sd) / Math.abs(slope), quantitation: (10 * sd) / Math.abs(slope) };
}
