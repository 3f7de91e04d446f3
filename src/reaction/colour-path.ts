import type { Backdrop } from '../model/backdrop.ts';
import type { ColourPath } from '../model/extent.ts';
import type { Reaction } from '../model/reaction.ts';
import { rootMeanSquare } from '../numeric/mean.ts';
import { interpolatedPath } from './interpolated-path.ts';
import { pathData, type PathData } from './observations.ts';
import { pathModel, type PathModel } from './path-model.ts';
import { createPathPhysics, pathExtents } from './path-physics.ts';
import { medianColour } from './plateau.ts';
import { readExtents, type ReadExtents } from './read-extents.ts';
import { reuseSavedPath } from './saved-path.ts';
import { solvePath } from './solve-path.ts';
import type { Triple, VialColours } from './vial-colours.ts';
import { shadingPrior } from './vial-layout.ts';

export interface ColourPathInput {
  readonly vials: readonly VialColours[];
  readonly reaction: Reaction;
  /** Concentration of the coloured reagent atom in the vials, mol/L; `null` when the dose is not told. */
  readonly reagentMolPerL: number | null;
  /** A path found earlier on this rig and reagent. */
  readonly saved: ColourPath | null;
  /** How light falls off over the frame, where an even backdrop shows it. */
  readonly backdrop: Backdrop | null;
  /** Distance of two linear colours in OKLab. */
  readonly colourDistance: (first: Triple, second: Triple) => number;
}

export interface PathReading {
  readonly path: ColourPath;
  /** Extents of every vial, in the order given; `null` values where nothing could be read. */
  readonly extents: readonly (ReadExtents & {
    readonly offPath: readonly (number | null)[];
    readonly vialSe: number | null;
    readonly vialSeDf: number | null;
    /** Whether the vial's colours follow another path than the run's, and were left out of it. */
    readonly strange: boolean;
  })[];
}

/**
 * One colour path for the whole run and every vial's extents along it. When no path can be found (no pin at either end
 * and no spectra), all extents are `null` and the path's notes say why.
 */
export function readColourPath(input: ColourPathInput): PathReading {
  const data = pathData(input.vials);
  const notes: ColourPath['notes'][number][] = [];
  const pinnedStart = input.saved !== null || data.startColour !== null;
  const pinnedEnd = input.saved !== null || data.endColour !== null;
  if (data.unsteadyMixtures.length > 0) {
    notes.push({
      code: 'mixture-not-constant',
      severity: 'warn',
      message: `${data.unsteadyMixtures.join(', ')}: a mixture whose colour does not stay pins nothing`,
    });
  }
  if (!pinnedStart) notes.push(noStartPin);
  if (!pinnedEnd) notes.push(noEndPin);
  const { model, strange } = findModel(input, data, notes);
  if (model === null) {
    notes.push({ code: 'no-path', severity: 'fail', message: 'no colour path fits this run; extents are unknown' });
    const unknown = input.vials.map(({ rgb }) => {
      const none = rgb.map(() => null);
      return {
        extent: none,
        extentSe: none,
        onPath: none,
        offPath: none,
        vialSe: null,
        vialSeDf: null,
        strange: false,
      };
    });
    return { path: describe(input, data, null, null, pinnedStart, pinnedEnd, notes), extents: unknown };
  }
  let squares = 0;
  let count = 0;
  const extents = input.vials.map((vial, index) => {
    const read = readExtents(data.encoded[index]!, vial.rgb.length, model.vialPaths[index]!);
    const offPath = read.onPath.map((point, frame) => {
      const rgb = vial.rgb[frame];
      if (point === null || rgb === null || rgb === undefined) return null;
      const seen: Triple = [Math.max(0, rgb[0]), Math.max(0, rgb[1]), Math.max(0, rgb[2])];
      const off = input.colourDistance(seen, point);
      squares += off ** 2;
      count += 1;
      return off;
    });
    return {
      ...read,
      offPath,
      vialSe: model.vialSe[index]!,
      vialSeDf: model.vialSeDf,
      strange: strange.includes(index),
    };
  });
  const residual = count === 0 ? null : Math.sqrt(squares / count);
  return { path: describe(input, data, model, residual, pinnedStart, pinnedEnd, notes), extents };
}

const noStartPin = {
  code: 'no-start-pin',
  severity: 'fail',
  message: 'neither a blank nor a clean negative pins extent 0',
} as const;
const noEndPin = {
  code: 'no-end-pin',
  severity: 'warn',
  message: 'no positive reference reached a plateau, so nothing pins extent 1: extents are relative',
} as const;

interface FoundModel {
  readonly model: PathModel | null;
  /** Numbers of the vials left out of it as following another path. */
  readonly strange: readonly number[];
}

function findModel(input: ColourPathInput, data: PathData, notes: ColourPath['notes'][number][]): FoundModel {
  const vialCount = input.vials.length;
  if (input.saved !== null) {
    const reused = reuseSavedPath(
      input.saved,
      data,
      input.vials.map(({ place }) => place),
      shadingPrior(input.backdrop),
    );
    notes.push(...reused.notes);
    return { model: reused.model, strange: [] };
  }
  if (data.observations.length === 0) return { model: null, strange: [] };
  if (input.reaction.species === null) return { model: interpolatedPath(data, vialCount), strange: [] };
  const physics = createPathPhysics(input.reaction.species);
  const places = input.vials.map(({ place }) => place);
  const solved = solvePath(physics, data, places, {
    reagentMolPerL: input.reagentMolPerL,
    shading: shadingPrior(input.backdrop),
  });
  if (solved === null) return { model: null, strange: [] };
  if (!solved.fit.converged) {
    notes.push({ code: 'path-not-settled', severity: 'warn', message: 'the colour path did not settle fully' });
  }
  if (solved.disunited) {
    notes.push({
      code: 'vials-disagree',
      severity: 'fail',
      message:
        "more than a third of the vials change colour each in its own way, so no one knows which way is the reaction's: extents are doubtful. Look at the pictures (bubbles, precipitate, drying, coloured samples)",
    });
  }
  const typical = data.encoded.map(({ colour }) =>
    colour.length === 0 ? null : medianColour(colour, 0, colour.length - 1),
  );
  const pinned = input.vials.flatMap(({ role, region, knownExtent }, index) =>
    role === 'mixture' &&
    knownExtent !== null &&
    !data.unsteadyMixtures.includes(region) &&
    !solved.strange.includes(index)
      ? [knownExtent]
      : [],
  );
  const model = pathModel(physics, solved.prior, solved.fit, solved.layout, solved.glass.df, typical, pinned);
  return { model, strange: solved.strange };
}

function describe(
  input: ColourPathInput,
  data: PathData,
  model: PathModel | null,
  residual: number | null,
  pinnedStart: boolean,
  pinnedEnd: boolean,
  notes: ColourPath['notes'],
): ColourPath {
  const inside = pathExtents
    .map((extent, index) => ({ extent, index }))
    .filter(({ extent }) => extent >= 0 && extent <= 1);
  const draws = model === null ? [] : model.draws.map((draw) => inside.map(({ index }) => draw[index]!));
  return {
    source: input.saved === null ? 'fitted' : 'saved',
    pins: input.saved === null ? data.pins : [...input.saved.pins.map((pin) => `saved path, ${pin}`)],
    pinnedStart,
    pinnedEnd,
    extent: model === null ? [] : inside.map(({ extent }) => extent),
    linearRgb:
      model === null
        ? []
        : inside.map(({ index }) => [
            model.linear[index * 3]!,
            model.linear[index * 3 + 1]!,
            model.linear[index * 3 + 2]!,
          ]),
    residual,
    extentError: rootMeanSquare(draws.flat()),
    draws,
    notes,
  };
}
