import type { CurveModel, FitOptions } from './fit-curve.ts';
import type { LeastSquaresProblem } from './least-squares.ts';

export interface CheckedInput {
  readonly problem: LeastSquaresProblem;
  /** Points of weight above zero. */
  readonly used: number;
  /** Weighted sum of squares of y about its mean: what no curve at all would leave. */
  readonly scatter: number;
}

/** The problem in vector form, or a sentence that says why the data cannot be used. RangeError for misuse. */
export function checkFitInput<X>(
  model: CurveModel<X>,
  x: readonly X[],
  y: readonly number[],
  options: FitOptions,
): CheckedInput | string {
  const count = model.parameterCount;
  if (!Number.isInteger(count) || count < 1) throw new RangeError(`fitCurve: parameterCount ${count}`);
  const { start } = options;
  const lower = options.lower ?? new Array<number>(count).fill(-Infinity);
  const upper = options.upper ?? new Array<number>(count).fill(Infinity);
  for (const [name, list] of Object.entries({ start, lower, upper })) {
    if (list.length !== count) throw new RangeError(`fitCurve: ${name} has ${list.length} of ${count} values`);
  }
  if (lower.some((bound, j) => !(bound <= upper[j]!))) throw new RangeError('fitCurve: a lower bound above its upper');

  if (x.length !== y.length) return `${x.length} x for ${y.length} y`;
  const weights = options.weights ?? new Array<number>(y.length).fill(1);
  if (weights.length !== y.length) return `${weights.length} weights for ${y.length} y`;
  if (!weights.every((weight) => Number.isFinite(weight) && weight >= 0)) return 'a weight is negative or not finite';
  if (!y.every(Number.isFinite)) return 'y holds a value that is not finite';
  if (!x.every((entry) => [entry].flat().every((part) => typeof part !== 'number' || Number.isFinite(part)))) {
    return 'x holds a value that is not finite';
  }
  if (!start.every((value, j) => value >= lower[j]! && value <= upper[j]! && Number.isFinite(value))) {
    return 'the start is not finite or outside the bounds';
  }
  const kept = weights.flatMap((weight, i) => (weight > 0 ? [i] : []));
  if (kept.length < count) return `${kept.length} points cannot determine ${count} parameters`;

  const points = kept.map((i) => ({ x: x[i]!, y: y[i]!, root: Math.sqrt(weights[i]!) }));
  const { f, jacobian } = model;
  const mean =
    points.reduce((sum, point) => sum + point.root ** 2 * point.y, 0) /
    points.reduce((sum, point) => sum + point.root ** 2, 0);
  return {
    used: kept.length,
    scatter: points.reduce((sum, point) => sum + (point.root * (point.y - mean)) ** 2, 0),
    problem: {
      residuals: (parameters) => {
        const b = [...parameters];
        return Float64Array.from(points, (point) => point.root * (f(b, point.x) - point.y));
      },
      jacobian:
        jacobian === undefined
          ? null
          : (parameters) => {
              const b = [...parameters];
              const columns = b.map(() => new Float64Array(points.length));
              points.forEach((point, i) => {
                const row = jacobian(b, point.x);
                columns.forEach((column, j) => (column[i] = point.root * (row[j] ?? Number.NaN)));
              });
              return columns;
            },
      lower,
      upper,
      size: Math.sqrt(points.reduce((sum, point) => sum + (point.root * point.y) ** 2, 0)),
    },
  };
}
