import { encodedPath, nearestExtent, type EncodedPath } from './nearest-extent.ts';
import type { PathObservation } from './fit-path.ts';

/** Spread of vials' brightness (log) allowed for on a saved path: glass and place. Chosen. */
const brightnessSd = 0.03;
const candidates = Array.from({ length: 41 }, (_, index) => (index - 20) / 200);

/**
 * Each vial's own path when the run's path is given: brightness is the only freedom, found by trying -10 % to +10 % against the
 * vial's colours (pins included), with a normal prior about the run's brightness.
 */
export function withOwnBrightness(
  linear: ArrayLike<number>,
  observations: readonly PathObservation[],
  vialCount: number,
): readonly EncodedPath[] {
  const paths = candidates.map((log) => encodedPath(linear, null, log, 0));
  return Array.from({ length: vialCount }, (_, vial) => {
    const own = observations.filter((one) => one.vial === vial);
    let best = { cost: Infinity, index: 20 };
    paths.forEach((path, index) => {
      let cost = (candidates[index]! / brightnessSd) ** 2;
      for (const one of own) cost += nearestExtent(path, one.colour, one.sd, one.pin).cost;
      if (cost < best.cost) best = { cost, index };
    });
    return paths[best.index]!;
  });
}
