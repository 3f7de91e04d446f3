import { fiellerInterval } from '../numeric/fieller.ts';
import { straightLine } from '../numeric/straight-line.ts';
import type { StraightLine } from '../numeric/straight-line.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import { knownVariance, moderate } from './difference.ts';
import { meanShift, pathSe } from './estimates.ts';
import { mean } from '../numeric/mean.ts';
import type { Situation } from './situation.ts';
import type { Reading } from './types.ts';
import { halfWidth } from './variance-parts.ts';
import type { VariancePart } from './variance-parts.ts';

/** Fewest calibration vials: a line and at least one degree of freedom for its scatter. */
const fewestVials = 3;
/** Extent above which the reagent is as good as used up and the line no longer holds; chosen. */
export const usedUpExtent = 0.9;

export interface Calibration {
  readonly levels: readonly number[];
  readonly readings: readonly Reading[];
  readonly line: StraightLine;
  /** Degrees of freedom by which what is known of single vials was learnt in this run; `null`: not learnt. */
  readonly knownDf: number | null;
}

/**
 * Calibration on the spiked base with its own intercept: extents at the reading time of the standards against their levels, mol %.
 * The negatives are the base unspiked, unless a standard of level 0 is given. Vials that used up the reagent are left out. `null`
 * with fewer than three vials or one level only, or a slope that is not clearly positive.
 */
export function calibrate(situation: Situation): Calibration | null {
  const standards = situation.vials.flatMap(({ vial, atRead, trouble }) =>
    vial.role === 'standard' &&
    vial.levelMolPercent !== null &&
    trouble === null &&
    atRead !== null &&
    atRead.value < usedUpExtent
      ? [{ level: vial.levelMolPercent, reading: atRead }]
      : [],
  );
  const spiked = new Set(standards.map(({ level }) => level).filter((level) => level > 0));
  if (spiked.size === 0) return null;
  const base = standards.some(({ level }) => level === 0)
    ? []
    : situation.negatives.map(({ atRead }) => ({ level: 0, reading: atRead! }));
  const points = [...standards, ...base];
  if (points.length < fewestVials) return null;
  const levels = points.map(({ level }) => level);
  const readings = points.map(({ reading }) => reading);
  const line = straightLine(
    levels,
    readings.map(({ value }) => value),
  );
  if (line === null || line.residualSd === null) return null;
  const t = studentTQuantile(0.975, line.df);
  if (line.slope <= (t * line.residualSd) / Math.sqrt(line.sxx)) return null;
  const knownDf = situation.input.series.find(({ vialSeDf }) => vialSeDf !== undefined)?.vialSeDf ?? null;
  return { levels, readings, line, knownDf };
}

/** A variance of a single vial: the scatter about the line, and what glass and frames alone are known to do. */
function vialPart({ readings, line, knownDf }: Calibration, vials: readonly Reading[]): VariancePart {
  return moderate(line.residualSd! ** 2, line.df, knownVariance(vials), knownVariance(readings), knownDf);
}

/**
 * Error of the path in (extent of the sample less the line at `level`), extent: that of the difference under each plausible path,
 * so that what sample and standards have in common cancels.
 */
function pathErrorAt({ levels, readings, line }: Calibration, sampleShift: readonly number[], level: number): number {
  const pull = levels.map((x) => 1 / line.count + ((level - line.meanX) * (x - line.meanX)) / line.sxx);
  return pathSe(
    sampleShift.map((shift, k) =>
      readings.reduce((rest, reading, i) => rest - pull[i]! * reading.pathShift[k]!, shift),
    ),
  );
}

/** Widths of a sample's extents about the line at a level, each part of the error by its own degrees of freedom. */
interface Widths {
  /** Of the sample and the line's middle, and of the path. */
  readonly offset: number;
  /** Of the slope. */
  readonly slope: number;
}

function widths(
  calibration: Calibration,
  sample: readonly Reading[],
  sampleShift: readonly number[],
  level: number,
  critical: (df: number) => number,
): Widths {
  const { line, readings } = calibration;
  const own = vialPart(calibration, sample);
  const ofLine = vialPart(calibration, readings);
  const scaled = ({ variance, df }: VariancePart, by: number): VariancePart => ({ variance: variance * by, df });
  const path = pathErrorAt(calibration, sampleShift, level);
  return {
    offset: halfWidth(
      [scaled(own, 1 / sample.length), scaled(ofLine, 1 / line.count), { variance: path ** 2, df: Infinity }],
      critical,
    ),
    slope: halfWidth([scaled(ofLine, 1 / line.sxx)], critical),
  };
}

/**
 * Critical level and detection limit, mol %, for `replicates` vials like the base: Currie (Pure Appl. Chem. 67:1699, 1995) in the form of
 * ISO 11843-2 for a calibration line (formula from memory), with Student's t and equal risks `alpha` of seeing what is not there and of
 * missing what is; the scatter is that of single vials about the line, never less than glass and frames are known to make.
 */
export function detection(
  calibration: Calibration,
  sample: readonly Reading[],
  alpha: number,
): { readonly critical: number; readonly limit: number } {
  const { line, levels, readings } = calibration;
  const lowest = Math.min(...levels);
  const base = meanShift(readings.filter((_, i) => levels[i] === lowest));
  const { offset, slope } = widths(calibration, sample, base, 0, (df) => studentTQuantile(1 - alpha, df));
  const critical = Math.hypot(offset, slope * line.meanX) / line.slope;
  return { critical, limit: 2 * critical };
}

/**
 * Inverse prediction: the level at which the line has the mean of the sample's extents, and after Fieller all levels that are not
 * ruled out with 95 % confidence. `ci95` is `null` on both sides where the slope does not bound it.
 */
export function inverse(
  calibration: Calibration,
  sample: readonly Reading[],
): { readonly value: number; readonly ci95: readonly [number, number] | readonly [null, null] } {
  const { line } = calibration;
  const y0 = mean(sample.map(({ value }) => value));
  const value = line.meanX + (y0 - line.meanY) / line.slope;
  const { offset, slope } = widths(calibration, sample, meanShift(sample), value, (df) => studentTQuantile(0.975, df));
  // Widths are already multiplied by their critical values.
  const set = fiellerInterval({
    numerator: y0 - line.meanY,
    denominator: line.slope,
    numeratorVariance: offset ** 2,
    denominatorVariance: slope ** 2,
    covariance: 0,
    criticalValue: 1,
  });
  return {
    value,
    ci95: set.kind === 'bounded' ? [line.meanX + set.lower, line.meanX + set.upper] : [null, null],
  };
}
