import type { Result, ResultCheck } from '../model/result.ts';
import { fQuantile } from '../numeric/f-distribution.ts';
import type { Predictions } from './plan.ts';
import { duration, short } from './words.ts';

/** Level of the test by which found spread is believed to differ from the predicted one. */
const level = 0.05;

/** What a plan foretold against what its run showed: one check of noise, limit and times each, as far as both are known. */
export function compareWithPlan(plan: Predictions, result: Result): readonly ResultCheck[] {
  return [...declared(plan, result), ...noise(plan, result), ...limit(plan, result), ...times(plan, result)];
}

function declared(plan: Predictions, { run }: Result): readonly ResultCheck[] {
  const changed = [
    ...(Math.abs(run.read_at_s - plan.read_at_s) > 1
      ? [`reading time ${duration(run.read_at_s)}, planned ${duration(plan.read_at_s)}`]
      : []),
    ...(Math.abs(run.margin - plan.margin) > 1e-9
      ? [`margin ${short(run.margin)}, planned ${short(plan.margin)}`]
      : []),
    ...(Math.abs(run.alpha - plan.alpha) > 1e-9 ? [`alpha ${short(run.alpha)}, planned ${short(plan.alpha)}`] : []),
  ];
  const message =
    changed.length === 0
      ? 'Reading time, margin and risk are those of the plan.'
      : `Not as declared in the plan: ${changed.join('; ')}.`;
  return [{ code: 'plan-declared', status: changed.length === 0 ? 'pass' : 'warn', message }];
}

function noise(plan: Predictions, { run }: Result): readonly ResultCheck[] {
  const [predicted, found] = [plan.between_vial_sd, run.between_vial_sd];
  if (predicted === null || found === null) return [];
  const ratio = (found.value / predicted.value) ** 2;
  const worse = ratio > fQuantile(1 - level, found.df, predicted.df);
  const message = `Spread between vials ${short(found.value)} in extent (${found.df} degrees of freedom), planned ${short(predicted.value)}${worse ? ': more than planned, so the promised limit does not hold' : ''}.`;
  return [{ code: 'plan-noise', status: worse ? 'warn' : 'pass', message }];
}

/** The limit of this run: what the found spread makes of the planned half-width. */
function limit(plan: Predictions, { run, samples }: Result): readonly ResultCheck[] {
  const { detectable } = plan;
  if (detectable === null) return [];
  // The bound of "resisted" is one sample's alone; the 95 % interval is about as wide as the bound over all samples.
  const largest = samples.flatMap(({ extent_difference: d, bound }) =>
    // Far above the limit the colour path errs more, which says nothing of small differences.
    d === null || bound === null || d.value > 2 * detectable.extent
      ? []
      : [Math.max(Math.abs(d.value - bound.value), d.value - (d.ci95[0] ?? d.value))],
  );
  if (largest.length === 0) return [];
  const found = run.margin + Math.max(...largest);
  const missed = found > detectable.extent;
  const asLevel =
    detectable.mol_percent === null ? '' : ` (${short(detectable.mol_percent)} mol % of ${detectable.impurity})`;
  const message = `A difference above ${short(found)} in extent would have been called in this run; planned ${short(detectable.extent)}${asLevel} in nine runs of ten.`;
  return [{ code: 'plan-limit', status: missed ? 'warn' : 'pass', message }];
}

function times(plan: Predictions, { vials }: Result): readonly ResultCheck[] {
  const off = plan.vials.flatMap(({ region, half_time_s: planned }) => {
    const found = vials.find((vial) => vial.region === region)?.fit.half_time_s ?? null;
    if (planned === null || found === null || found.censored !== 'none') return [];
    const outside = found.value < planned.low || found.value > planned.high;
    return [
      {
        outside,
        text: `${region} ${duration(found.value)}, planned ${duration(planned.low)} to ${duration(planned.high)}`,
      },
    ];
  });
  if (off.length === 0) return [];
  const outside = off.filter((one) => one.outside);
  const message =
    outside.length === 0
      ? `Half-times of the positives as planned: ${off.map(({ text }) => text).join('; ')}.`
      : `Half-times not as planned: ${outside.map(({ text }) => text).join('; ')}. Look at acid, temperature and dose.`;
  return [{ code: 'plan-times', status: outside.length === 0 ? 'pass' : 'warn', message }];
}
