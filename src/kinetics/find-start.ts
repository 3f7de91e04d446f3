import type { KineticModel } from './kinetic-model.ts';
import type { PreparedSeries } from './prepare-series.ts';

/** Points that a start is judged on; a start need only be near. */
const points = 48;

/** The two best of a model's starts, amplitude solved for where it is free, by plain least squares on a thinned series. */
export function findStarts(model: KineticModel, series: PreparedSeries): readonly Float64Array[] {
  const step = Math.max(1, Math.floor(series.time.length / points));
  const pick = (_: number, i: number): boolean => i % step === 0;
  const time = series.time.filter(pick);
  const extent = series.extent.filter(pick);
  const weight = series.relativeSe.filter(pick).map((se) => 1 / (se * se));
  const curve = new Float64Array(time.length);
  const scored = model.starts.map((start) => {
    const b = Float64Array.from(start);
    model.evaluate(b, time, curve, null);
    if (model.amplitude !== null) {
      const at = model.amplitude;
      b[at] = Math.min(Math.max(bestAmplitude(curve, extent, weight), model.lower[at]! + 0.005), model.upper[at]!);
      model.evaluate(b, time, curve, null);
    }
    let score = 0;
    for (let i = 0; i < time.length; i += 1) score += weight[i]! * (curve[i]! - extent[i]!) ** 2;
    return { b, score };
  });
  scored.sort((first, second) => first.score - second.score);
  return scored.slice(0, 2).map(({ b }) => b);
}

function bestAmplitude(curve: Float64Array, extent: Float64Array, weight: Float64Array): number {
  let product = 0;
  let square = 1e-12;
  for (let i = 0; i < curve.length; i += 1) {
    product += weight[i]! * curve[i]! * extent[i]!;
    square += weight[i]! * curve[i]! ** 2;
  }
  return product / square;
}
