import type { PreparedSeries } from './prepare-series.ts';

/**
 * Shape of the errors: a continuous-time AR(1) process (Ornstein-Uhlenbeck; correlation exp(-dt / tau)) for what
 * compression, lamp and drift have in common between frames, and white noise fresh in every frame.
 */
export interface NoiseShape {
  /** Correlation time in spans; 0: white noise only. */
  readonly tau: number;
  /** Share of a frame's variance that is white, 0..1. */
  readonly whiteShare: number;
}

/** Turns a series with such errors into one with independent errors of equal variance (innovations of a Kalman filter). */
export interface NoiseFilter {
  readonly shape: NoiseShape;
  /** Sum of the logarithms of the innovation variances. */
  readonly logDeterminant: number;
  whiten(values: Float64Array, out: Float64Array): void;
}

/** The parts of a filter that depend on tau only; shared between white shares. */
export interface NoiseBasis {
  readonly tau: number;
  readonly carry: Float64Array;
  readonly loading: Float64Array;
}

/** Correlation between successive points and loading of each on the process, averaging over its width included. */
export function noiseBasis(series: PreparedSeries, tau: number): NoiseBasis {
  const { time, relativeSe, frames, width } = series;
  const n = time.length;
  const carry = new Float64Array(n);
  const loading = new Float64Array(n);
  for (let i = 0; i < n; i += 1) {
    carry[i] = i === 0 || tau === 0 ? 0 : Math.exp((time[i - 1]! - time[i]!) / tau);
    loading[i] = relativeSe[i]! * (frames[i]! > 1 && tau > 0 ? Math.sqrt(averagedVariance(width[i]! / tau)) : 1);
  }
  return { tau, carry, loading };
}

/** Variance of the mean of a unit Ornstein-Uhlenbeck process over `length` correlation times. */
function averagedVariance(length: number): number {
  if (length < 1e-3) return 1 - length / 3;
  return (2 / length) * (1 - (1 - Math.exp(-length)) / length);
}

export function noiseFilter(series: PreparedSeries, basis: NoiseBasis, whiteShare: number): NoiseFilter {
  const n = series.time.length;
  const { carry, loading, tau } = basis;
  const inverseRoot = new Float64Array(n);
  const gain = new Float64Array(n);
  const processShare = tau === 0 ? 0 : 1 - whiteShare;
  let variance = processShare;
  let logDeterminant = 0;
  for (let i = 0; i < n; i += 1) {
    const phi = carry[i]!;
    if (i > 0) variance = phi * phi * variance + (1 - phi * phi) * processShare;
    const white = ((tau === 0 ? 1 : whiteShare) * series.relativeSe[i]! ** 2) / series.frames[i]!;
    const load = loading[i]!;
    const innovation = load * load * variance + white;
    logDeterminant += Math.log(innovation);
    inverseRoot[i] = 1 / Math.sqrt(innovation);
    gain[i] = (variance * load) / innovation;
    variance = (variance * white) / innovation;
  }
  return {
    shape: { tau, whiteShare: tau === 0 ? 1 : whiteShare },
    logDeterminant,
    whiten(values, out) {
      let state = 0;
      for (let i = 0; i < n; i += 1) {
        state *= carry[i]!;
        const error = values[i]! - loading[i]! * state;
        state += gain[i]! * error;
        out[i] = error * inverseRoot[i]!;
      }
    },
  };
}
