/**
 * Where a profile crosses its threshold on both sides of the estimate: the limits of a likelihood interval.
 * `deviance(theta)` is the rise of minus twice the log likelihood (others refitted), 0 at the estimate; `threshold` is
 * the chi-square or squared t value wanted. A side that stays below the threshold up to its bound is open: `null`.
 * `step` is a first guess of the half-width. Works on the signed root of the deviance, which is nearly straight.
 */
export function profileInterval(input: {
  readonly deviance: (theta: number) => number;
  readonly estimate: number;
  readonly step: number;
  readonly lower: number;
  readonly upper: number;
  readonly threshold: number;
  /** Relative accuracy wanted in the root of the deviance. Default 0.01. */
  readonly tolerance?: number;
}): readonly [number | null, number | null] {
  return [limit(input, -1), limit(input, 1)];
}

function limit(input: Parameters<typeof profileInterval>[0], side: 1 | -1): number | null {
  const { deviance, estimate, lower, upper, threshold, tolerance = 0.01 } = input;
  const goal = Math.sqrt(threshold);
  const edge = side > 0 ? upper : lower;
  const rise = (theta: number): number => {
    const value = deviance(theta);
    return Number.isFinite(value) ? Math.sqrt(Math.max(value, 0)) - goal : 1e3 * goal;
  };
  const clip = (theta: number): number => (side > 0 ? Math.min(theta, edge) : Math.max(theta, edge));
  if (estimate === edge) return null;
  let inner = estimate;
  let atInner = -goal;
  let outer = clip(estimate + side * (input.step > 0 && Number.isFinite(input.step) ? input.step : 1));
  let atOuter = rise(outer);
  for (let round = 0; atOuter < 0; round += 1) {
    if (outer === edge || round > 12) return null;
    const reach = Math.abs(outer - estimate);
    const slope = (atOuter + goal) / reach;
    inner = outer;
    atInner = atOuter;
    outer = clip(estimate + side * Math.min(Math.max((1.15 * goal) / slope, 1.5 * reach), 4 * reach));
    atOuter = rise(outer);
  }
  for (let round = 0; round < 30 && atOuter > tolerance * goal; round += 1) {
    const share = Math.min(Math.max(-atInner / (atOuter - atInner), 0.05), 0.95);
    const theta = inner + share * (outer - inner);
    const at = rise(theta);
    if (Math.abs(at) <= tolerance * goal) return theta;
    if (at < 0) {
      inner = theta;
      atInner = at;
    } else {
      outer = theta;
      atOuter = at;
    }
  }
  return outer;
}
