import { describe, expect, it } from 'vitest';
import { noiseBasis, noiseFilter } from '../../src/kinetics/noise-filter.ts';
import { allModels } from '../../src/kinetics/models/all-models.ts';
import { prepareSeries } from '../../src/kinetics/prepare-series.ts';
import { refine } from '../../src/kinetics/refine.ts';
import { fitCurve } from '../../src/numeric/fit-curve.ts';
import { simulateSeries, truths } from './series.ts';
import { readNistSet } from '../numeric/nist-sets.ts';

const time = Float64Array.from({ length: 30 }, (_, i) => (i + 0.5) / 30);

describe('every model', () => {
  // `none` has no parameter but the offset, which no curve has a say in.
  const moving = allModels.filter(({ lower }) => lower.length > 1);
  it.each(moving.map((model) => [model.name, model] as const))('%s has the derivatives of its curve', (_, model) => {
    const start = model.starts[model.starts.length >> 1]!;
    const b = Float64Array.from(start, (value, j) => (j === model.amplitude ? 0.7 : value));
    const partials = Array.from(b, () => new Float64Array(time.length));
    const value = new Float64Array(time.length);
    model.evaluate(b, time, value, partials);
    for (let j = 1; j < b.length; j += 1) {
      const above = Float64Array.from(b);
      const below = Float64Array.from(b);
      above[j]! += 1e-5;
      below[j]! -= 1e-5;
      const high = new Float64Array(time.length);
      const low = new Float64Array(time.length);
      model.evaluate(above, time, high, null);
      model.evaluate(below, time, low, null);
      time.forEach((_t, i) => expect(Math.abs(partials[j]![i]! - (high[i]! - low[i]!) / 2e-5)).toBeLessThan(1e-5));
    }
  });
  it.each(allModels.map((model) => [model.name, model] as const))(
    '%s starts at 0, never falls, and stays below its end',
    (_, model) => {
      for (const start of model.starts) {
        const value = new Float64Array(time.length);
        model.evaluate(Float64Array.from(start), time, value, null);
        const atZero = new Float64Array(1);
        model.evaluate(Float64Array.from(start), new Float64Array(1), atZero, null);
        expect(Math.abs(atZero[0]!)).toBeLessThan(1e-12);
        value.forEach((extent, i) => expect(extent - (value[i - 1] ?? 0)).toBeGreaterThan(-1e-12));
        expect(value[value.length - 1]).toBeLessThanOrEqual(1 + 1e-12);
      }
    },
  );
});

describe('the quick solver', () => {
  it('agrees with fitCurve on NIST’s first-order set BoxBOD', () => {
    const set = readNistSet('BoxBOD');
    const span = Math.max(...set.x);
    const series = prepareSeries({
      timeS: [...set.x],
      extent: set.y.map((value) => value / 250),
      extentSe: set.y.map(() => null),
    });
    if (typeof series === 'string') throw new Error(series);
    const model = allModels.find(({ name }) => name === 'first-order')!;
    const target = {
      time: series.time,
      extent: series.extent,
      filter: noiseFilter(series, noiseBasis(series, 0), 1),
      variance: 1,
      priors: [{ index: 0, mean: 0, sd: 1e-9 }],
    };
    const fit = refine(model, target, Float64Array.from([0, 1, Math.log(0.5 * span)]), 60);
    expect(Math.abs((fit.b[1]! * 250) / set.certified[0]! - 1)).toBeLessThan(1e-4);
    expect(Math.abs(Math.exp(fit.b[2]!) / span / set.certified[1]! - 1)).toBeLessThan(1e-4);
  });
  it('agrees with fitCurve on a noisy burst, white noise', () => {
    const raw = simulateSeries(truths['burst-background'], 'agree', { count: 100, rho: 0 });
    const series = prepareSeries(raw);
    if (typeof series === 'string') throw new Error(series);
    const model = allModels.find(({ name }) => name === 'burst-background')!;
    const filter = noiseFilter(series, noiseBasis(series, 0), 1);
    const target = { time: series.time, extent: series.extent, filter, variance: 2e-5, priors: [] };
    const start = [0, 0.1, Math.log(30), -4];
    const quick = refine(model, target, Float64Array.from(start), 100);
    const one = new Float64Array(1);
    const slow = fitCurve(
      {
        parameterCount: 4,
        f: (b, at) => {
          model.evaluate(Float64Array.from(b), Float64Array.of(at), one, null);
          return b[0]! + one[0]!;
        },
      },
      [...series.time],
      [...series.extent],
      { start },
    );
    expect(slow.status).toBe('converged');
    slow.parameters.forEach((value, j) => {
      expect(Math.abs(value - quick.b[j]!)).toBeLessThan(0.02 * slow.standardErrors[j]!);
    });
  });
});

describe('noiseFilter', () => {
  it('whitens as the inverse root of the covariance matrix does', () => {
    const series = prepareSeries(simulateSeries(truths.none, 'filter', { count: 6 }));
    if (typeof series === 'string') throw new Error(series);
    const tau = 0.3;
    const share = 0.4;
    const filter = noiseFilter(series, noiseBasis(series, tau), share);
    // Rows of the inverse Cholesky factor are the whitened unit vectors: W V W' = 1.
    const n = 6;
    const columns = Array.from({ length: n }, (_, j) => {
      const unit = new Float64Array(n);
      unit[j] = 1;
      const out = new Float64Array(n);
      filter.whiten(unit, out);
      return out;
    });
    const covariance = (i: number, j: number): number =>
      (1 - share) * Math.exp(-Math.abs(series.time[i]! - series.time[j]!) / tau) + (i === j ? share : 0);
    for (let a = 0; a < n; a += 1) {
      for (let b = 0; b < n; b += 1) {
        let sum = 0;
        for (let i = 0; i < n; i += 1)
          for (let j = 0; j < n; j += 1) sum += columns[i]![a]! * covariance(i, j) * columns[j]![b]!;
        expect(sum).toBeCloseTo(a === b ? 1 : 0, 10);
      }
    }
  });
});
