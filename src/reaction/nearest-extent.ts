import { comparable, encode } from './encoded.ts';
import { pathExtents } from './path-physics.ts';

/** A path as one vial shows it: encoded colours (beyond 0..1 where the camera would cut off) on {@link pathExtents}, three values an extent. */
export type EncodedPath = Float64Array;

const grid = Float64Array.from(pathExtents);

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
  const encoded = new Float64Array(linear.length);
  for (let index = 0; index < encoded.length; index += 1) {
    encoded[index] = encode(factor * (linear[index]! + (byLogPath === null ? 0 : logPath * byLogPath[index]!)));
  }
  return encoded;
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
  const [red, green, blue] = [colour[0]!, colour[1]!, colour[2]!];
  const [byRed, byGreen, byBlue] = [1 / sd[0]! ** 2, 1 / sd[1]! ** 2, 1 / sd[2]! ** 2];
  const pinPrecision = pin === null ? 0 : 1 / pin.sd ** 2;
  const pinExtent = pin === null ? 0 : pin.extent;
  let bestIndex = 0;
  let bestShare = 0;
  let bestCost = Infinity;
  let red1 = comparable(path[0]!, red);
  let green1 = comparable(path[1]!, green);
  let blue1 = comparable(path[2]!, blue);
  // one pass over all stretches: the innermost loop of the path's fit and of every frame's reading
  for (let index = 0; index < grid.length - 1; index += 1) {
    const red0 = red1;
    const green0 = green1;
    const blue0 = blue1;
    red1 = comparable(path[index * 3 + 3]!, red);
    green1 = comparable(path[index * 3 + 4]!, green);
    blue1 = comparable(path[index * 3 + 5]!, blue);
    const from = grid[index]!;
    const width = grid[index + 1]! - from;
    const redStep = red1 - red0;
    const greenStep = green1 - green0;
    const blueStep = blue1 - blue0;
    const redOff = red - red0;
    const greenOff = green - green0;
    const blueOff = blue - blue0;
    let along = byRed * redStep * redOff + byGreen * greenStep * greenOff + byBlue * blueStep * blueOff;
    let length = byRed * redStep * redStep + byGreen * greenStep * greenStep + byBlue * blueStep * blueStep;
    if (pin !== null) {
      along += pinPrecision * width * (pinExtent - from);
      length += pinPrecision * width * width;
    }
    const share = length > 0 ? Math.min(1, Math.max(0, along / length)) : 0;
    const redLeft = redOff - share * redStep;
    const greenLeft = greenOff - share * greenStep;
    const blueLeft = blueOff - share * blueStep;
    const pinLeft = from + share * width - pinExtent;
    const cost =
      pinPrecision * (pinLeft * pinLeft) +
      byRed * (redLeft * redLeft) +
      byGreen * (greenLeft * greenLeft) +
      byBlue * (blueLeft * blueLeft);
    if (cost < bestCost) {
      bestIndex = index;
      bestShare = share;
      bestCost = cost;
    }
  }
  const from = grid[bestIndex]!;
  const extent = from + bestShare * (grid[bestIndex + 1]! - from);
  return { extent, index: bestIndex, share: bestShare, cost: bestCost };
}
