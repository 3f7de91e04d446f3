import { interpolate } from '../numeric/interpolate.ts';
import { principalComponents } from '../numeric/principal-components.ts';
import type { KineticModel } from './kinetic-model.ts';
import type { PathDraws } from './kinetic-series.ts';

/** Equal steps of extent on which errors of the path are tabled; they are smooth. */
const cells = 128;
/** Chosen: an arch, what little the posterior has beside it, and the three sines of `src/reaction/path-model.ts`. */
const mostComponents = 5;
/** Extent; less than what a frame's noise hides. */
const negligible = 0.002;
/** Standard deviations within which a score is sought. */
const mostScore = 4;

/** Errors of the colour path, common to all vials, in the few ways they mostly go. */
export interface PathBends {
  /** Components on a grid of equal steps 0..1 as one standard deviation each; 0 at extent 0. */
  readonly components: readonly Float64Array[];
  /** Standard deviation of the error at extent 0, where it is only one more constant offset. */
  readonly startSd: number;
  /** Variance of the whole error at an extent. */
  variance(extent: number): number;
}

/** One path serves all vials of a run: its components are worked out once. Keyed by the draws, so nothing else can be told. */
const known = new WeakMap<PathDraws['draws'], { readonly extent: PathDraws['extent']; readonly bends: PathBends }>();

export function pathBends(paths: PathDraws | null): PathBends | null {
  if (paths === null || paths.draws.length < 2) return null;
  const before = known.get(paths.draws);
  if (before?.extent === paths.extent) return before.bends;
  const bends = bendsOf(paths);
  known.set(paths.draws, { extent: paths.extent, bends });
  return bends;
}

function bendsOf(paths: PathDraws): PathBends {
  const rows = paths.draws.map((draw) =>
    Float64Array.from({ length: cells + 1 }, (_, i) => interpolate(paths.extent, draw, i / cells)),
  );
  const squares = Float64Array.from({ length: cells + 1 }, (_, i) =>
    rows.reduce((sum, row) => sum + row[i]! ** 2 / rows.length, 0),
  );
  const risen = rows.map((row) => row.map((value) => value - row[0]!));
  return {
    components: principalComponents(risen, mostComponents, negligible),
    startSd: Math.sqrt(squares[0]!),
    variance: (extent) => {
      const at = place(extent);
      const cell = cellOf(at);
      return squares[cell]! + (at - cell) * (squares[cell + 1]! - squares[cell]!);
    },
  };
}

/**
 * The model as seen through an erring path: its extent m plus sum z_j component_j(m), with scores z_j as further
 * parameters of unit normal prior behind the model's own. Rates and times keep their meaning on the true scale.
 */
export function throughPath(model: KineticModel, bends: PathBends | null): KineticModel {
  if (bends === null || bends.components.length === 0 || model.name === 'none') return model;
  const { components } = bends;
  const own = model.lower.length;
  const extra = components.map(() => mostScore);
  const bend = new Float64Array(cells + 1);
  return {
    ...model,
    lower: [...model.lower, ...extra.map((score) => -score)],
    upper: [...model.upper, ...extra],
    priors: [...model.priors, ...components.map((_, j) => ({ index: own + j, mean: 0, sd: 1 }))],
    starts: model.starts.map((start) => [...start, ...extra.map(() => 0)]),
    evaluate(b, time, value, partials) {
      model.evaluate(b, time, value, partials);
      bend.fill(0);
      let bent = false;
      for (let j = 0; j < components.length; j += 1) {
        const score = b[own + j]!;
        if (score === 0) continue;
        bent = true;
        const component = components[j]!;
        for (let c = 0; c <= cells; c += 1) bend[c]! += score * component[c]!;
      }
      if (!bent && partials === null) return;
      for (let i = 0; i < time.length; i += 1) {
        const extent = value[i]!;
        const inside = extent > 0 && extent < 1;
        const at = place(extent);
        const cell = cellOf(at);
        const share = at - cell;
        const rise = bend[cell + 1]! - bend[cell]!;
        value[i] = extent + bend[cell]! + share * rise;
        if (partials === null) continue;
        if (inside && bent) {
          const slope = 1 + rise * cells;
          for (let j = 1; j < own; j += 1) partials[j]![i]! *= slope;
        }
        for (let j = 0; j < components.length; j += 1) {
          const component = components[j]!;
          partials[own + j]![i] = component[cell]! + share * (component[cell + 1]! - component[cell]!);
        }
      }
    },
  };
}

/** Position on the grid; cells have unit length. */
function place(extent: number): number {
  return Math.min(Math.max(extent, 0), 1) * cells;
}

function cellOf(at: number): number {
  return Math.min(Math.floor(at), cells - 1);
}
