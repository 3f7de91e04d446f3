import type { PathFit, PathObservation } from './fit-path.ts';
import { nearestPossible } from './path-system.ts';
import { vialPaths, type VialLayout } from './vial-layout.ts';

/**
 * Fall of the fit's cost (chi-square units) when one vial's colours are left out, beyond which that vial followed another path;
 * and the same for each channel of each colour left out. Chosen on modelled racks: usual vials give up to 46 and 2.6 (coarse films
 * most), a vial that turns turbid, dries out or separates 117 to 430 and 6 to 35.
 */
const leastFall = 80;
const leastFallPerChannel = 4.5;
/** A fit whose colours all lie this near (mean square, in standard deviations, of any vial) is not searched. Chosen: half of `leastFallPerChannel`. */
const suspicious = 1.5;

/** Colours of `vial` that pin nothing: what the path is asked to follow. */
const free = (one: PathObservation, vial: number): boolean => one.vial === vial && one.pin === null;

/** Observations without those by which `vial` bends the path; its pins stay, for they are known apart from its colours. */
export function withoutVial(observations: readonly PathObservation[], vial: number): readonly PathObservation[] {
  return observations.filter((one) => !free(one, vial));
}

/**
 * The vial whose colours bend the common path most, if it bends it more than noise and the model's own misfit explain:
 * one that does something else than react (turbid, drying, layered, coloured otherwise). Found by leaving each vial out in
 * turn, not by its own misfit: a strange vial draws the path towards itself, and others then seem off.
 * @param refit fit of a set of observations, begun at given parameters; `null` when it cannot be solved
 * @returns its number; `null`: none
 */
export function strangestVial(
  fit: PathFit,
  observations: readonly PathObservation[],
  layout: VialLayout,
  refit: (observations: readonly PathObservation[], start: Float64Array) => PathFit | null,
): number | null {
  const paths = vialPaths(fit.parameters, fit.linear, fit.byLogPath, layout);
  const channels = Array.from({ length: layout.count }, () => 0);
  const misfit = Array.from({ length: layout.count }, () => 0);
  for (const one of observations) {
    if (one.pin !== null) continue;
    channels[one.vial]! += 3;
    misfit[one.vial]! += nearestPossible(paths[one.vial]!, one).nearest.cost;
  }
  const seen = channels.flatMap((count, vial) => (count === 0 ? [] : [vial]));
  if (!seen.some((vial) => misfit[vial]! > suspicious * channels[vial]!)) return null;
  let strangest: number | null = null;
  let most = leastFall;
  for (const vial of seen) {
    const rest = refit(withoutVial(observations, vial), fit.parameters);
    if (rest === null) continue;
    const fall = fit.cost - rest.cost;
    if (fall > most && fall > leastFallPerChannel * channels[vial]!) {
      strangest = vial;
      most = fall;
    }
  }
  return strangest;
}
