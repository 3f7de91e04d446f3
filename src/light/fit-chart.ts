import { ciede2000, linearRgbToLab } from '../colour/index.ts';
import type { Lab } from '../colour/index.ts';
import { cholesky, solveCholesky } from '../numeric/cholesky.ts';
import { leastSquares } from '../numeric/least-squares.ts';
import { bendCount, corrected, matrixCount, modelOf, tiltCount } from './chart-model.ts';
import type { ChartCurves, ChartModel } from './chart-model.ts';

type Triple = readonly [number, number, number];

/** One patch as the camera read it and as the table has it. */
export interface ChartPatch {
  readonly name: string;
  /** Place on the chart, -0.5..0.5 from its middle. */
  readonly x: number;
  readonly y: number;
  /** Linear light, were the picture plain sRGB. */
  readonly read: Triple;
  /** Linear light of the sRGB primaries under D65, white = 1. */
  readonly target: Triple;
}

export interface ChartFit {
  readonly curves: ChartCurves;
  readonly model: ChartModel;
  /** CIEDE2000 of each patch. */
  readonly deltaE: readonly number[];
  /** The same, predicted by a fit without that patch. */
  readonly leftOutDeltaE: readonly number[];
}

/** Standard deviations of the priors: light over a chart is even to some 10 %, bends rarely change a slope by more than a factor of three. Chosen. */
const tiltSd = 0.2;
const bendSd = 1;
/** Error of a printed patch, its table and its reading, CIELAB units: what the priors are weighed against. Chosen. */
const patchSd = 1;

/**
 * Fits matrix, light over the chart, and tone curves: least squares of CIELAB differences, chroma weighed down as in CIE94, which follows
 * CIEDE2000 closely and is smooth. The error of a left-out patch is the linear one (residual over one less its leverage). `null`
 * when the fit fails.
 */
export function fitChart(patches: readonly ChartPatch[], curves: ChartCurves): ChartFit | null {
  const count = matrixCount + tiltCount + bendCount(curves);
  const labs = patches.map(({ target }) => linearRgbToLab(target));
  const weights = labs.map(([, a, b]) => {
    const chroma = Math.hypot(a, b);
    return { lightness: 1, opponent: 1 / (1 + 0.03 * chroma) };
  });
  const seen = (model: ChartModel, { x, y, read }: ChartPatch): Lab => {
    const light = Math.exp(-(model.tilt[0] * x + model.tilt[1] * y));
    const [r, g, b] = corrected(model, read);
    return linearRgbToLab([r * light, g * light, b * light]);
  };
  const residuals = (p: Float64Array): Float64Array => {
    const model = modelOf(p, curves);
    const out = new Float64Array(3 * patches.length + count - matrixCount);
    patches.forEach((patch, index) => {
      const lab = seen(model, patch);
      const { lightness, opponent } = weights[index]!;
      out[3 * index] = ((lab[0] - labs[index]![0]) * lightness) / patchSd;
      out[3 * index + 1] = ((lab[1] - labs[index]![1]) * opponent) / patchSd;
      out[3 * index + 2] = ((lab[2] - labs[index]![2]) * opponent) / patchSd;
    });
    for (let index = matrixCount; index < count; index += 1) {
      out[3 * patches.length + index - matrixCount] = p[index]! / (index < matrixCount + tiltCount ? tiltSd : bendSd);
    }
    return out;
  };
  const start = new Float64Array(count);
  const scale = brightness(patches);
  for (const diagonal of [0, 4, 8]) start[diagonal] = scale;
  const end = leastSquares(
    {
      residuals,
      jacobian: (p) => differences(residuals, p),
      lower: Array.from(start, (_, index) => (index < matrixCount ? -20 : -4)),
      upper: Array.from(start, (_, index) => (index < matrixCount ? 20 : 4)),
      size: 100,
    },
    start,
    { mostIterations: 80, firstRadius: 1 },
  );
  if (end === null || !Number.isFinite(end.squares)) return null;
  const model = modelOf(end.parameters, curves);
  const shown = patches.map((patch) => seen(model, patch));
  const leftOut = leftOutResiduals(end.jacobian, end.residuals, patches.length);
  if (leftOut === null) return null;
  return {
    curves,
    model,
    deltaE: shown.map((lab, index) => ciede2000(labs[index]!, lab)),
    leftOutDeltaE: leftOut.map(([l, a, b], index) => {
      const lab = labs[index]!;
      const { lightness, opponent } = weights[index]!;
      return ciede2000(lab, [
        lab[0] + (l * patchSd) / lightness,
        lab[1] + (a * patchSd) / opponent,
        lab[2] + (b * patchSd) / opponent,
      ]);
    }),
  };
}

/** Partial derivatives by central differences; parameters are all of the order of 1. */
function differences(residuals: (p: Float64Array) => Float64Array, at: Float64Array): Float64Array[] {
  const step = 1e-5;
  return Array.from(at, (_, index) => {
    const moved = (by: number): Float64Array =>
      residuals(at.map((value, place) => (place === index ? value + by : value)));
    const [above, below] = [moved(step), moved(-step)];
    return above.map((value, row) => (value - below[row]!) / (2 * step));
  });
}

/** CIEDE2000 of each patch with one factor for all channels and nothing else: how far the camera is off. */
export function uncorrectedDeltaE(patches: readonly ChartPatch[]): readonly number[] {
  const scale = brightness(patches);
  return patches.map(({ read, target }) =>
    ciede2000(linearRgbToLab(target), linearRgbToLab([read[0] * scale, read[1] * scale, read[2] * scale])),
  );
}

/** Factor that brings the patches' mean green to the table's. */
function brightness(patches: readonly ChartPatch[]): number {
  const sum = (of: (patch: ChartPatch) => number): number => patches.reduce((total, patch) => total + of(patch), 0);
  return (
    sum(({ target }) => target[1]) /
    Math.max(
      1e-6,
      sum(({ read }) => read[1]),
    )
  );
}

/** Residuals of patches predicted by a fit without them: (1 - H) inverse on each patch's three residuals, H = J (J'J)^-1 J'. */
function leftOutResiduals(
  jacobian: readonly Float64Array[],
  residuals: Float64Array,
  patches: number,
): readonly Triple[] | null {
  const count = jacobian.length;
  const normal = new Float64Array(count * count);
  for (let i = 0; i < count; i += 1) {
    for (let j = 0; j < count; j += 1) {
      let sum = i === j ? 1e-9 : 0;
      for (let row = 0; row < residuals.length; row += 1) sum += jacobian[i]![row]! * jacobian[j]![row]!;
      normal[i * count + j] = sum;
    }
  }
  const factor = cholesky(normal, count);
  if (factor === null) return null;
  return Array.from({ length: patches }, (_, patch) => {
    const rows = [0, 1, 2].map((part) => Float64Array.from(jacobian, (column) => column[3 * patch + part]!));
    const solved = rows.map((row) => solveCholesky(factor, row));
    const left = new Float64Array(9);
    for (let i = 0; i < 3; i += 1) {
      for (let j = 0; j < 3; j += 1) {
        const leverage = rows[i]!.reduce((sum, value, index) => sum + value * solved[j]![index]!, 0);
        // A patch that alone decides a parameter has leverage 1: its own error is then unknown and told as very large.
        left[3 * i + j] = (i === j ? 1.0001 : 0) - leverage;
      }
    }
    const own = cholesky(left, 3);
    const mine = [0, 1, 2].map((part) => residuals[3 * patch + part]!);
    const predicted = own === null ? mine.map((value) => 1e4 * value) : Array.from(solveCholesky(own, mine));
    return [predicted[0]!, predicted[1]!, predicted[2]!];
  });
}
