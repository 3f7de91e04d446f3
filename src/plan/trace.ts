import { invertMonotone } from '../numeric/invert-monotone.ts';
import { electronsPerChromium } from './vial-dose.ts';

/** A trace of a reducing impurity in a sample vial. */
export interface Trace {
  /** mol % of it that uses up all Cr(VI). */
  readonly exhaustingMolPercent: number;
  /** 1/s: at which the first traces are used up by fresh reagent. */
  readonly rate: number;
}

/**
 * Rate at which a trace is used up: what makes Cr(VI) fall with `excessRate` (1/s) when `excessMol` of the same alcohol
 * faces it, makes the trace fall in the proportion of the amounts, three electrons a chromium, `electrons` a molecule.
 */
export function traceRate(excessRate: number, chromiumMol: number, excessMol: number, electrons: number): number {
  return (excessRate * chromiumMol * electronsPerChromium) / (excessMol * electrons);
}

/** Extent that a level makes in `timeS`: dx/dt = rate (b - x)(1 - x) with b = level / exhausting level, solved. */
export function extentOfLevel(molPercent: number, trace: Trace, timeS: number): number {
  const b = molPercent / trace.exhaustingMolPercent;
  if (Math.abs(b - 1) < 1e-9) return (trace.rate * timeS) / (1 + trace.rate * timeS);
  // Written for b < 1 and b > 1 alike so that no exponential overflows.
  const e = Math.exp(-trace.rate * Math.abs(1 - b) * timeS);
  return b < 1 ? (b * (1 - e)) / (1 - b * e) : (b * (1 - e)) / (b - e);
}

/** Level that makes this extent in `timeS`, mol %; `null` when even 1000 times the exhausting one does not. */
export function levelOfExtent(extent: number, trace: Trace, timeS: number): number | null {
  if (extent <= 0) return 0;
  const top = 1000 * trace.exhaustingMolPercent;
  if (extent >= extentOfLevel(top, trace, timeS)) return null;
  return invertMonotone((level) => extentOfLevel(level, trace, timeS) - extent, 0, top);
}

/** Seconds until nine tenths of a small trace are used up. */
export const nineTenthsS = (trace: Trace): number => Math.log(10) / trace.rate;
