import { rootMeanSquare } from '../numeric/mean.ts';
import { ciede2000, type Lab } from '../colour/index.ts';

/** Widest stretch of time that temperature may explain: 10 K at an activation energy of 50 kJ/mol is a factor of about 2 (Arrhenius at 298 K). */
const widestStretch = 2;
/** Steps of the search for the best stretch: 3.5 % each. */
const stretchSteps = 40;

/** Root-mean-square CIEDE2000 of two histories on one clock. */
export function historyDistance(first: readonly Lab[], second: readonly Lab[]): number {
  return rootMeanSquare(first.map((colour, index) => ciede2000(colour, second[index]!)))!;
}

/**
 * The same with time of one stretched against the other within {@link widestStretch}, whichever brings them nearest. Both clocks are
 * moved alike (by the root of the stretch each), so that the order of the two does not matter. `stretch`: how many times the first
 * one's time the second needs for the same colours.
 */
export function stretchedDistance(
  first: readonly Lab[],
  second: readonly Lab[],
): { readonly value: number; readonly stretch: number } {
  let best = { value: historyDistance(first, second), stretch: 1 };
  for (let step = 0; step <= stretchSteps; step += 1) {
    const stretch = widestStretch ** ((2 * step) / stretchSteps - 1);
    const root = Math.sqrt(stretch);
    // Only as far as both have been seen.
    const reach = (first.length - 1) / Math.max(root, 1 / root);
    const count = Math.max(2, Math.floor(reach) + 1);
    let sum = 0;
    for (let at = 0; at < count; at += 1) {
      const place = (reach * at) / (count - 1);
      sum += ciede2000(colourAt(first, place / root), colourAt(second, place * root)) ** 2;
    }
    const value = Math.sqrt(sum / count);
    if (value < best.value) best = { value, stretch };
  }
  return best;
}

function colourAt(history: readonly Lab[], place: number): Lab {
  const index = Math.max(0, Math.min(history.length - 2, Math.floor(place)));
  const share = Math.min(1, place - index);
  const from = history[index]!;
  const to = history[index + 1]!;
  return [0, 1, 2].map((axis) => from[axis]! + share * (to[axis]! - from[axis]!)) as unknown as Lab;
}

/** Mean of colours in CIELAB; for the small scatter of like vials the space is even enough. */
export function meanLab(colours: readonly Lab[]): Lab {
  return [0, 1, 2].map(
    (axis) => colours.reduce((sum, colour) => sum + colour[axis]!, 0) / colours.length,
  ) as unknown as Lab;
}
