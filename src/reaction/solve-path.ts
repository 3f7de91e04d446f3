import { createRandom } from '../numeric/random.ts';
import { fitPath, type PathFit, type PathObservation } from './fit-path.ts';
import type { PathData } from './observations.ts';
import { physicsSd } from './model-sd.ts';
import { misfitPrior, parameterCount } from './path-misfit.ts';
import { pathPrior, type PathParameter } from './path-parameters.ts';
import type { PathPhysics } from './path-physics.ts';
import { strangestVial, withoutVial } from './strange-vials.ts';
import { shadingCount, vialLayout, type ShadingPrior, type VialLayout, type VialSpread } from './vial-layout.ts';

/** First guess of how vials differ beyond what their place explains; the brightness is then learnt from the run. Chosen. */
const firstSpread: VialSpread = { brightness: 0.015, path: 0.01 };
/** Bounds of the learnt spread of brightness: no glassware is better, and with worse no extent means much. Chosen. */
const leastBrightness = 0.006;
const mostBrightness = 0.08;
/** Starts beside the prior mean; measured: with three, one path in forty ended in a side valley, with one, one in six. */
const extraStarts = 3;

export interface SolvedPath {
  readonly prior: readonly PathParameter[];
  readonly fit: PathFit;
  readonly layout: VialLayout;
  /** Spread of the vials' brightness (log) that place does not explain, with its degrees of freedom. */
  readonly glass: { readonly sd: number; readonly df: number };
  /** Numbers of the vials whose colours followed another path and were left out of this one, the strangest first. */
  readonly strange: readonly number[];
  /** Whether still more vials follow other paths than may be left out. */
  readonly disunited: boolean;
}

/** What is known of the run before a vial's colour is seen. */
export interface KnownBeforehand {
  /** Concentration of the coloured reagent atom, mol/L; `null` not told. */
  readonly reagentMolPerL: number | null;
  readonly shading: ShadingPrior;
}

type Solved = Omit<SolvedPath, 'strange' | 'disunited'>;

/** Share of the vials that may be left out as strange; with more, no one knows which path is the reaction's. Chosen. */
const mostStrange = 1 / 3;

/**
 * The most probable path of the vials that follow one; see {@link strangestVial} for those that do not. After each that is
 * left out all is solved anew, from the first guess: what it bent may lie in another valley.
 * `null` when no start could be solved.
 */
export function solvePath(
  physics: PathPhysics,
  data: PathData,
  places: readonly (readonly [number, number])[],
  known: KnownBeforehand,
): SolvedPath | null {
  const strange: number[] = [];
  let left = data;
  let solved = solveFor(physics, left, places, known);
  let disunited = false;
  while (solved !== null) {
    const { prior, layout }: Solved = solved;
    const next = strangestVial(solved.fit, left.observations, layout, (observations, start) =>
      fitPath(physics, prior, observations, layout, start, 60),
    );
    if (next === null) break;
    disunited = strange.length + 1 > mostStrange * places.length;
    if (disunited) break;
    strange.push(next);
    left = { ...left, observations: withoutVial(left.observations, next) };
    solved = solveFor(physics, left, places, known) ?? solved;
  }
  return solved === null ? null : { ...solved, strange, disunited };
}

/**
 * The most probable path of all the data given. Each start is first guided: extents not pinned are held near those that the red channel tells
 * (Cr(III) alone absorbs there, so its log falls nearly in step with extent), then set free; the best of all is kept. So far
 * physics alone holds the path, with its misfit in every colour; from there the misfit becomes an unknown of its own and
 * colours count as finely as they are measured. (Fitted so at once, one rack in twelve ended in a side valley.)
 * `null` when no start could be solved.
 */
function solveFor(
  physics: PathPhysics,
  data: PathData,
  places: readonly (readonly [number, number])[],
  { reagentMolPerL, shading }: KnownBeforehand,
): Solved | null {
  const physicsPrior = pathPrior(physics.nominalMixing, { reagentMolPerL, interpolated: physics.interpolated });
  const prior = [...physicsPrior, ...misfitPrior];
  const firm = [...physicsPrior, ...misfitPrior.map((one) => ({ ...one, sd: 0 }))];
  const loose = data.observations.map((one) => ({ ...one, sd: physicsSd }));
  const guided = guide(data, loose);
  const first = vialLayout(places, firstSpread, shading);
  const begun: PathFit[] = [];
  for (let attempt = 0; attempt <= extraStarts; attempt += 1) {
    const random = createRandom(`path-start-${attempt}`);
    const start = firm.map(({ mean, sd }) => mean + (attempt === 0 ? 0 : 0.8 * sd * random.normal()));
    const near = fitPath(physics, firm, guided, first, start, 20);
    if (near !== null) begun.push(near);
  }
  let best: PathFit | null = null;
  for (const near of begun.sort((one, other) => one.cost - other.cost).slice(0, 3)) {
    const free = fitPath(physics, firm, loose, first, near.parameters, 60);
    if (free === null) continue;
    // two ways to the same bottom: no need for a third
    const agreed = best !== null && Math.abs(free.cost - best.cost) < 0.02 * (1 + best.cost);
    if (best === null || free.cost < best.cost) best = free;
    if (agreed) break;
  }
  if (best === null) return null;
  const glass = learnBrightness(best, data, first);
  const layout = vialLayout(places, { ...firstSpread, brightness: glass.sd }, shading);
  const settled = fitPath(physics, prior, data.observations, layout, best.parameters, 60);
  return settled === null ? { prior: firm, fit: best, layout: first, glass } : { prior, fit: settled, layout, glass };
}

/**
 * How vials differ in brightness beyond their place, from those whose extent is known apart from it: pinned ones and
 * those that turned along most of the path. Shrunk towards the first guess with the weight of four vials.
 */
function learnBrightness(
  fit: PathFit,
  data: PathData,
  layout: VialLayout,
): { readonly sd: number; readonly df: number } {
  const known = data.encoded
    .map((_, vial) => vial)
    .filter((vial) => data.observations.some((one) => one.vial === vial && one.pin !== null));
  const squares = known.reduce((sum, vial) => sum + fit.parameters[parameterCount + shadingCount + 2 * vial]! ** 2, 0);
  const guess = 4;
  // three shading terms and the common brightness are fitted to the same vials
  const df = Math.max(0, known.length - 1 - shadingCount);
  const variance = (squares + guess * layout.spread.brightness ** 2) / (df + guess);
  return { sd: Math.min(mostBrightness, Math.max(leastBrightness, Math.sqrt(variance))), df: df + guess };
}

function guide(data: PathData, observations: readonly PathObservation[]): readonly PathObservation[] {
  const first = data.startColour?.[0] ?? Math.max(...data.observations.map(({ colour }) => colour[0]));
  // a plateau not seen: red then falls to about a quarter of its encoded value (modelled)
  const last = data.endColour?.[0] ?? 0.4 * first;
  const linear = (encoded: number): number => Math.max(1e-4, encoded) ** 2.2;
  const span = Math.log(linear(first) / linear(last));
  return observations.map((one) => {
    if (one.pin !== null || !(span > 0.1)) return one;
    const extent = Math.log(linear(first) / linear(one.colour[0])) / span;
    return { ...one, pin: { extent: Math.min(1, Math.max(0, extent)), sd: data.endColour === null ? 0.2 : 0.08 } };
  });
}
