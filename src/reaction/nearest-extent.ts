import { comparable, encode } from './encoded.ts';
import { pathExtents } from './path-physics.ts';

/** A path as one vial shows it: encoded colours (beyond 0..1 where the camera would cut off) on {@link pathExtents}, three values an extent. */
export type EncodedPath = Float64Array;

/** What is believed of an extent before its colour is seen; `null` nothing. */
export interface ExtentPin {
  readonly extent: number;
  readonly sd: number;
}

export interface NearestExtent {
  readonly extent: number;
  /** Lower grid index and share of the step above it. */
  readonly index: number;
  readonly share: number;
  /** Sum of squared scaled residuals, the pin's included. */
  readonly cost: number;
}

/** A vial's path: the run's linear path with the vial's brightness and light path (both as small logs). */
export function encodedPath(
  linear: ArrayLike<number>,
  byLogPath: ArrayLike<number> | null,
  logBrightness: number,
  logPath: number,
): EncodedPath {
  const factor = Math.exp(logBrightness);
  return Float64Array.from(linear, (value, index) =>
    encode(factor * (value + (byLogPath === null ? 0 : logPath * byLogPath[index]!))),
  );
}

/**
 * The point of the path nearest to an encoded colour, channels scaled by their standard deviations `sd`.
 * A pin adds its own squared distance. Beyond both ends the path goes on for 1/10 of extent and stops.
 */
export function nearestExtent(
  path: EncodedPath,
  colour: ArrayLike<number>,
  sd: ArrayLike<number>,
  pin: ExtentPin | null,
): NearestExtent {
  const precision = [1 / sd[0]! ** 2, 1 / sd[1]! ** 2, 1 / sd[2]! ** 2];
  const pinPrecision = pin === null ? 0 : 1 / pin.sd ** 2;
  let best: NearestExtent = { extent: pathExtents[0]!, index: 0, share: 0, cost: Infinity };
  for (let index = 0; index < pathExtents.length - 1; index += 1) {
    const from = pathExtents[index]!;
    const width = pathExtents[index + 1]! - from;
    let along = 0;
    let length = 0;
    for (let channel = 0; channel < 3; channel += 1) {
      const base = comparable(path[index * 3 + channel]!, colour[channel]!);
      const step = comparable(path[index * 3 + 3 + channel]!, colour[channel]!) - base;
      along += precision[channel]! * step * (colour[channel]! - base);
      length += precision[channel]! * step * step;
    }
    if (pin !== null) {
      along += pinPrecision * width * (pin.extent - from);
      length += pinPrecision * width * width;
    }
    const share = length > 0 ? Math.min(1, Math.max(0, along / length)) : 0;
    let cost = pin === null ? 0 : pinPrecision * (from + share * width - pin.extent) ** 2;
    for (let channel = 0; channel < 3; channel += 1) {
      const base = comparable(path[index * 3 + channel]!, colour[channel]!);
      const step = comparable(path[index * 3 + 3 + channel]!, colour[channel]!) - base;
      cost += precision[channel]! * (colour[channel]! - base - share * step) ** 2;
    }
    if (cost < best.cost) best = { extent: from + share * width, index, share, cost };
  }
  return best;
}
