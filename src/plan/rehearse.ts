import type { Measurement } from '../model/measurement.ts';
import type { Reaction } from '../model/reaction.ts';
import { interpolate } from '../numeric/interpolate.ts';
import { rootMeanSquare } from '../numeric/mean.ts';
import { sampleMoments } from '../numeric/sample-moments.ts';
import { readColourPath } from '../reaction/colour-path.ts';
import type { Triple, VialColours } from '../reaction/vial-colours.ts';
import { usualSolution } from './scenario-of-plan.ts';
import { createScenario, layoutOf, simulateColours, type Scenario, type ScenarioInput } from '../simulate/index.ts';

/** What a plan's rehearsals in the forward model showed. */
export interface Rehearsal {
  readonly runs: number;
  /** Between-vial standard deviation of still vials at the reading time, extent, with its degrees of freedom. */
  readonly betweenVialSd: number;
  readonly df: number;
  /** Standard error from the colour path in a difference of one margin, extent. */
  readonly pathSd: number;
  /** What the analysis knows of a vial's scatter from glass and place, extent, and by how many degrees of freedom. */
  readonly knownSd: number;
  readonly knownDf: number | null;
}

export interface RehearsalInput {
  readonly scenario: ScenarioInput;
  readonly reaction: Reaction;
  readonly chromiumMolL: number;
  readonly margin: number;
  readonly readAtS: number;
  readonly runs: number;
  readonly seed: string;
  /** Distance of two linear colours in OKLab. */
  readonly colourDistance: (first: Triple, second: Triple) => number;
}

/** Frames of a rehearsal: fewer than a real run's, which average better still. */
const frameCount = 90;
/** Frames averaged at the reading time, as the analysis does. */
const averaged = 9;

/**
 * Runs the plan in the forward model with other bands than the analysis assumes, reads the extents as an analysis would,
 * and sees how far still vials scatter. Deterministic by the seed. `null` when no colour path could be found.
 */
export function rehearse(input: RehearsalInput): Rehearsal | null {
  let squares = 0;
  let df = 0;
  const paths: number[] = [];
  const known: number[] = [];
  const knownDfs: number[] = [];
  for (let run = 0; run < input.runs; run += 1) {
    const scenario = rehearsedScenario(input, run);
    const vials = coloursOf(scenario, simulateColours(scenario));
    const { path, extents } = readColourPath({
      vials,
      reaction: input.reaction,
      reagentMolPerL: input.chromiumMolL,
      saved: null,
      backdrop: null,
      colourDistance: input.colourDistance,
    });
    const still = vials.flatMap(({ role, timeS }, index) =>
      role === 'negative' || role === 'sample' ? [readAt(timeS, extents[index]!.extent, input.readAtS)] : [],
    );
    const read = still.filter((value) => value !== null);
    const { variance, mean } = sampleMoments(read);
    if (variance === null) continue;
    squares += variance * (read.length - 1);
    df += read.length - 1;
    paths.push(
      rootMeanSquare(
        path.draws.map(
          (draw) => interpolate(path.extent, draw, mean + input.margin) - interpolate(path.extent, draw, mean),
        ),
      ) ?? 0,
    );
    known.push(rootMeanSquare(extents.map(({ vialSe }) => vialSe ?? 0)) ?? 0);
    knownDfs.push(...extents.slice(0, 1).flatMap(({ vialSeDf }) => vialSeDf ?? []));
  }
  if (df === 0) return null;
  return {
    runs: paths.length,
    betweenVialSd: Math.sqrt(squares / df),
    df,
    pathSd: rootMeanSquare(paths)!,
    knownSd: rootMeanSquare(known)!,
    knownDf: knownDfs.length === 0 ? null : Math.min(...knownDfs),
  };
}

function rehearsedScenario({ scenario, readAtS, seed }: RehearsalInput, run: number): Scenario {
  const last = Math.max(...scenario.vials.map(({ addedRunS }) => addedRunS ?? 0));
  return createScenario({
    ...scenario,
    seed: `${seed}/rehearsal/${run}`,
    frameCount,
    // A little beyond the reading time of the vial dosed last.
    intervalS: (1.06 * readAtS + last) / (frameCount - 1),
    chemistry: {
      ...scenario.chemistry,
      ...usualSolution(run % 2 === 0 ? 1 : -1),
    },
  });
}

function coloursOf(scenario: Scenario, measurement: Measurement): readonly VialColours[] {
  const { width, height } = scenario.frame;
  const half = Math.hypot(width, height) / 2;
  const boxes = layoutOf(scenario).vials;
  const { timeRunS } = measurement.frames;
  return scenario.vials.map((vial, index): VialColours => {
    const colours = measurement.vials[index]!;
    const box = boxes[index]!;
    const triple = (red: number | null, green: number | null, blue: number | null): Triple | null =>
      red === null || green === null || blue === null ? null : [red, green, blue];
    return {
      region: colours.id,
      role: vial.role,
      knownExtent: null,
      place: [(box.centreX - width / 2) / half, ((box.surface + box.floor) / 2 - height / 2) / half],
      timeS: timeRunS.map((time) => time - vial.addedRunS),
      rgb: timeRunS.map((_, at) => triple(colours.red[at]!, colours.green[at]!, colours.blue[at]!)),
      se: timeRunS.map((_, at) => triple(colours.redSe[at]!, colours.greenSe[at]!, colours.blueSe[at]!)),
    };
  });
}

/** Mean of the extents nearest to a time; `null` when none is known. */
function readAt(timeS: readonly number[], extent: readonly (number | null)[], atS: number): number | null {
  const known = timeS.flatMap((time, index) => {
    const value = extent[index] ?? null;
    return value === null ? [] : [{ value, off: Math.abs(time - atS) }];
  });
  const near = known.sort((first, second) => first.off - second.off).slice(0, averaged);
  return near.length === 0 ? null : near.reduce((sum, { value }) => sum + value, 0) / near.length;
}
