import { mkdtemp, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { loadReaction, loadRun } from '../../src/files/index.ts';
import type { Analysis } from '../../src/model/analysis.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import type { Run } from '../../src/model/run.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';
import type { AnalyseRequest } from '../../src/analyse-request.ts';
import { analyseRun, judge } from '../../src/pipeline.ts';
import type { Triple, VialColours } from '../../src/reaction/vial-colours.ts';
import {
  createScenario,
  extentAt,
  layoutOf,
  simulateColours,
  truthOf,
  type VialInput,
} from '../../src/simulate/index.ts';
import { drawPhysics } from '../../tests/support/other-physics.ts';
import { runOfPhysics } from '../../tests/support/physics-run.ts';
import { measurementOf, runOf } from './curve-run.ts';
import { drawScenario } from './draw-scenario.ts';
import { drawRack, rackKindOf, turns } from './racks.ts';
import { scoreOf, type RunFacts, type RunScore } from './score.ts';
import type { TrueVial } from './true-course.ts';

export interface Task {
  readonly level: RunScore['level'];
  readonly index: number;
  readonly seed: string;
}

/** Makes, analyses and scores one run; the same task gives the same score. */
export async function oneRun(task: Task): Promise<RunScore> {
  const { facts, analysis, truth } = await analysedRun(task);
  return scoreOf(facts, analysis, truth);
}

/** The same, unscored: to look into one run of a study. */
export async function analysedRun({ level, index, seed }: Task): Promise<Analysed & { readonly facts: RunFacts }> {
  const name = `${seed}/${level}/${index}`;
  const random = createRandom(name);
  // each block of turns holds all racks; the source changes with the block, so every rack meets every source
  const rack = level === 'edge' ? 'at the margin' : rackKindOf(index);
  const source =
    level === 'image'
      ? (Math.floor(index / turns.length) + index) % 2 === 0
        ? Math.floor(index / (2 * turns.length)) % 2 === 0
          ? 'film'
          : 'small film'
        : 'stills'
      : (Math.floor(index / turns.length) + index) % 2 === 0
        ? 'second physics'
        : 'forward model';
  const vials = drawRack(rack, random.stream('rack'));
  const { analysis, truth } =
    source === 'second physics'
      ? await ofSecondPhysics(vials, random)
      : source === 'forward model'
        ? await ofColours(name, vials, random)
        : await ofPictures(name, vials, source, random);
  return { facts: { level, index, rack, source }, analysis, truth };
}

async function request(run: Run): Promise<AnalyseRequest> {
  return {
    run,
    reaction: await loadReaction('shared/reactions/acid-dichromate.json'),
    glance: false,
    untilS: null,
    clock: () => new Date(0),
    version: 'truth',
    cacheDir: null,
    baseDir: path.dirname(run.file),
    inputs: [],
    chartSha256: null,
  };
}

const levelOf = ({ levelMolPercent }: VialInput): { readonly levelMolPercent: number | null } => ({
  levelMolPercent: levelMolPercent ?? null,
});

interface Analysed {
  readonly analysis: Analysis;
  readonly truth: readonly TrueVial[];
}

/** What patches leave of drift and flicker, relative: fresh in each frame, and slow. Chosen, about as measured from films. */
const leftOfLight = { fresh: 0.0007, slow: 0.0007 };

async function ofSecondPhysics(vials: readonly VialInput[], random: Random): Promise<Analysed> {
  const { vials: completed } = createScenario({ name: 'rack', vials, rack: { rows: 3, columns: 6 } });
  const factors = completed.map(() => Math.exp(0.03 * random.normal()));
  const rack = completed.map(({ role, kinetics }, vial) => ({
    role,
    ...(kinetics.model === 'constant' ? { knownExtent: kinetics.extent } : {}),
    extentAt: (timeS: number) => extentAt(kinetics, timeS, factors[vial]),
  }));
  const { vials: colours } = runOfPhysics(drawPhysics(random), rack, random);
  const measured: Measurement = measurementOf(
    withLight(colours, random),
    Math.hypot(leftOfLight.fresh, leftOfLight.slow),
  );
  return {
    analysis: await judge(
      measured,
      await request(runOf(colours.map((vial, at) => ({ ...vial, ...levelOf(vials[at]!) })))),
    ),
    truth: completed.map(({ kinetics }, vial) => ({ kinetics, rateFactor: factors[vial]!, addedRunS: 0 })),
  };
}

/** The same light error on all vials, every frame and channel. */
function withLight(vials: readonly VialColours[], random: Random): readonly VialColours[] {
  const phase = 2 * Math.PI * random.uniform();
  const frames = vials[0]!.timeS.length;
  const gains = Array.from({ length: frames }, (_, frame) =>
    [0, 1, 2].map(
      (channel) =>
        1 +
        leftOfLight.fresh * random.normal() +
        Math.SQRT2 * leftOfLight.slow * Math.sin(phase + 2 * channel + (4 * frame) / frames),
    ),
  );
  return vials.map((vial) => ({
    ...vial,
    rgb: vial.rgb.map((colour, frame) =>
      colour === null ? null : (colour.map((value, channel) => value * gains[frame]![channel]!) as unknown as Triple),
    ),
  }));
}

async function ofColours(seed: string, vials: readonly VialInput[], random: Random): Promise<Analysed> {
  const film = { frame: { width: 1280, height: 720 }, frameCount: 300, intervalS: 96, media: 'h264' } as const;
  const scenario = drawScenario(seed, vials, film, random);
  const { width, height } = scenario.frame;
  const half = Math.hypot(width, height) / 2;
  const placed = layoutOf(scenario).vials.map(({ region, centreX, surface, floor }, vial) => {
    const { role, kinetics } = scenario.vials[vial]!;
    return {
      region,
      role,
      knownExtent: kinetics.model === 'constant' ? kinetics.extent : null,
      ...levelOf(scenario.vials[vial]!),
      place: [(centreX - width / 2) / half, ((surface + floor) / 2 - height / 2) / half] as const,
    };
  });
  const analysis = await judge(simulateColours(scenario), await request(runOf(placed)));
  return { analysis, truth: trueVials(scenario) };
}

async function ofPictures(
  seed: string,
  vials: readonly VialInput[],
  source: 'film' | 'small film' | 'stills',
  random: Random,
): Promise<Analysed> {
  const media = source === 'stills' ? 'jpeg' : 'h264';
  const frame = source === 'film' ? { width: 1280, height: 720 } : { width: 640, height: 360 };
  // four in ten minutes' steps would miss the fast part: 60 frames over six and a half hours
  const film = { frame, frameCount: 60, intervalS: 400, media } as const;
  const scenario = drawScenario(seed, vials, film, random);
  const folder = await mkdtemp(path.join(os.tmpdir(), 'vialapse-truth-'));
  try {
    const { runFile } = await writeSimulatedRun(scenario, path.join(folder, 'run'), { comment: 'truth study' });
    const { analysis } = await analyseRun(await request(await loadRun(runFile)));
    return { analysis, truth: trueVials(scenario) };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function trueVials(scenario: ReturnType<typeof drawScenario>): readonly TrueVial[] {
  return truthOf(scenario).vials.map(({ kinetics, rate_factor: rateFactor, added_run_s: addedRunS }) => ({
    kinetics,
    rateFactor,
    addedRunS,
  }));
}
