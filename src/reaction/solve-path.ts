import { createRandom } from '../numeric/random.ts';
import { fitPath, type PathFit, type PathObservation } from './fit-path.ts';
import type { PathData } from './observations.ts';
import { parameterCount, pathPrior } from './path-parameters.ts';
import type { PathPhysics } from './path-physics.ts';

/** Vials differ in brightness (glass, place in the light) and light path (bore), as standard deviations of logs; chosen. */
const vialSpread = { brightness: 0.02, path: 0.01 } as const;
/** Starts beside the prior mean; measured: with three, one path in forty ended in a side valley, with one, one in six. */
const extraStarts = 3;

/**
 * The most probable path. Each start is first guided: extents not pinned are held near those that the red channel tells
 * (Cr(III) alone absorbs there, so its log falls nearly in step with extent), then set free; the best of all is kept.
 * `null` when no start could be solved.
 */
export function solvePath(
  physics: PathPhysics,
  data: PathData,
  vialCount: number,
  reagentMolPerL: number | null,
): PathFit | null {
  const prior = pathPrior(physics.nominalMixing, { reagentMolPerL });
  const guided = guide(data);
  const begun: PathFit[] = [];
  for (let attempt = 0; attempt <= extraStarts; attempt += 1) {
    const random = createRandom(`path-start-${attempt}`);
    const start = prior.map(({ mean, sd }) => mean + (attempt === 0 ? 0 : 0.8 * sd * random.normal()));
    const near = fitPath(physics, prior, guided, vialCount, vialSpread, start, 15);
    if (near !== null) begun.push(near);
  }
  let best: PathFit | null = null;
  for (const near of begun.sort((first, second) => first.cost - second.cost).slice(0, 2)) {
    const free = fitPath(physics, prior, data.observations, vialCount, vialSpread, near.parameters, 40);
    if (free !== null && (best === null || free.cost < best.cost)) best = free;
  }
  return best;
}

export const sharedParameters = parameterCount;

function guide(data: PathData): readonly PathObservation[] {
  const first = data.startColour?.[0] ?? Math.max(...data.observations.map(({ colour }) => colour[0]));
  // a plateau not seen: red then falls to about a quarter of its encoded value (modelled)
  const last = data.endColour?.[0] ?? 0.4 * first;
  const linear = (encoded: number): number => Math.max(1e-4, encoded) ** 2.2;
  const span = Math.log(linear(first) / linear(last));
  return data.observations.map((one) => {
    if (one.pin !== null || !(span > 0.1)) return one;
    const extent = Math.log(linear(first) / linear(one.colour[0])) / span;
    return { ...one, pin: { extent: Math.min(1, Math.max(0, extent)), sd: data.endColour === null ? 0.2 : 0.08 } };
  });
}
