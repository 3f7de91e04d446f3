import type { ResultLevel } from '../model/result.ts';
import { inversePrediction } from '../numeric/inverse-prediction.ts';
import { straightLine } from '../numeric/straight-line.ts';
import type { StraightLine } from '../numeric/straight-line.ts';
import { studentTQuantile } from '../numeric/student-t.ts';
import type { JudgedSample } from './judge-samples.ts';
import { mean } from './robust.ts';
import type { Situation } from './situation.ts';

/** Fewest calibration vials: a line and at least one degree of freedom for its scatter. */
const fewestVials = 3;
/** Extent above which the reagent is as good as used up and the line no longer holds; chosen. */
export const usedUpExtent = 0.9;

export interface Calibration {
  readonly levels: readonly number[];
  readonly extents: readonly number[];
  readonly line: StraightLine;
  /** Standard deviation between independent vials, and its degrees of freedom. */
  readonly s0: number;
  readonly df: number;
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
      ? [{ level: vial.levelMolPercent, extent: atRead.value }]
      : [],
  );
  const spiked = new Set(standards.map(({ level }) => level).filter((level) => level > 0));
  if (spiked.size === 0) return null;
  const base = standards.some(({ level }) => level === 0)
    ? []
    : situation.negatives.map(({ atRead }) => ({ level: 0, extent: atRead!.value }));
  const points = [...standards, ...base];
  if (points.length < fewestVials) return null;
  const levels = points.map(({ level }) => level);
  const extents = points.map(({ extent }) => extent);
  const line = straightLine(levels, extents);
  if (line === null || line.residualSd === null) return null;
  const t = studentTQuantile(0.975, line.df);
  if (line.slope <= (t * line.residualSd) / Math.sqrt(line.sxx)) return null;
  const shown = situation.spreadAssumed ? null : situation.usedSpread;
  return { levels, extents, line, s0: shown?.value ?? line.residualSd, df: shown?.df ?? line.df };
}

/**
 * Critical level and detection limit, mol %, for the mean of `replicates` vials: Currie (Pure Appl. Chem. 67:1699, 1995) in the form of
 * ISO 11843-2 for a calibration line (formula from memory), with Student's t and equal risks `alpha` of seeing what is not there and of
 * missing what is.
 */
export function detection(
  calibration: Calibration,
  replicates: number,
  alpha: number,
): { readonly critical: number; readonly limit: number } {
  const { line, s0, df } = calibration;
  const reach = Math.sqrt(1 / replicates + 1 / line.count + line.meanX ** 2 / line.sxx);
  const critical = (studentTQuantile(1 - alpha, df) * s0 * reach) / line.slope;
  return { critical, limit: 2 * critical };
}

/** The level of a sample by the calibration line; `null` without one. */
export function levelByStandards(situation: Situation, sample: JudgedSample): ResultLevel | null {
  const calibration = calibrate(situation);
  if (calibration === null) return null;
  const y0 = mean(sample.members.map(({ atRead }) => atRead!.value));
  const replicates = sample.members.length;
  const { levels, extents } = calibration;
  const found = inversePrediction({ x: levels, y: extents, y0, replicates });
  if (found === null) return null;
  const { critical, limit } = detection(calibration, replicates, situation.input.run.alpha);
  const common = {
    limit,
    as: 'mol %, as the spiked standards (apparent)',
    electrons: null,
    basis: 'standards',
  } as const;
  if (found.value <= critical) return { ...common, value: null, ci95: [null, null], only_more_than: false };
  const highest = Math.max(...levels);
  if (found.value > highest || y0 >= usedUpExtent) {
    return { ...common, value: highest, ci95: [highest, null], only_more_than: true };
  }
  const { exact } = found;
  const ci95 = exact.kind === 'bounded' ? ([Math.max(exact.lower, 0), exact.upper] as const) : ([null, null] as const);
  return { ...common, value: found.value, ci95, only_more_than: false };
}
