import type { RgbImage } from '../model/frame.ts';
import { createRandom } from '../numeric/random.ts';
import { weighLinearRgb } from '../spectra/index.ts';
import { transmittances } from './chemistry.ts';
import { layoutOf, type Layout } from './layout.ts';
import { frameTimes, lightCourse } from './light-course.ts';
import { blockView } from './scene/blocked-view.ts';
import { meniscusProfile, type LiquidPixels } from './scene/liquid-pixels.ts';
import { turnView, type Turn } from './scene/turned-view.ts';
import type { Scenario } from './scenario.ts';
import { createSensor, linearLimits } from './sensor.ts';
import { buildStage, type Stage } from './stage.ts';
import { vialCourses, type VialCourse } from './vial-course.ts';
import { scenarioWeights } from './viewing.ts';

/** Paths at which a liquid's colour is computed; between them it is interpolated (error below 1e-3 of white). */
const pathSteps = 32;
const pathShares = Float64Array.from({ length: pathSteps }, (_, index) => index / (pathSteps - 1));

/**
 * The pictures of a scenario, one after another; the same scenario gives the same bytes. Every image has its own array.
 * Memory holds one painted scene and one picture at a time.
 */
export function* simulateFrames(scenario: Scenario): Generator<RgbImage, void, undefined> {
  const layout = layoutOf(scenario);
  const courses = vialCourses(scenario);
  const weights = scenarioWeights(scenario);
  const gains = lightCourse(scenario);
  const sensor = createSensor(scenario);
  const { width, height } = scenario.frame;
  const linear = new Float32Array(3 * width * height);
  let turned: Float32Array | null = null;
  let shift: readonly [number, number] | null = null;
  let stage: Stage | null = null;
  let frame = 0;
  for (const runS of frameTimes(scenario)) {
    const { shift: wanted, turn } = viewAt(scenario, runS);
    if (stage === null || shift === null || shift[0] !== wanted[0] || shift[1] !== wanted[1]) {
      shift = wanted;
      stage = buildStage(scenario, layout, shift);
      linear.set(stage.still);
    }
    const { liquids, still, flare } = stage;
    courses.forEach((course, index) => {
      drawLiquid(linear, still, liquids[index]!, flare, liquidLook(course, runS, scenario, layout, weights));
    });
    const blocked = scenario.disturbances.blocked.some(({ fromRunS, toRunS }) => runS >= fromRunS && runS <= toRunS);
    const viewed =
      turn === null ? linear : turnView(linear, width, height, turn, (turned ??= new Float32Array(linear.length)));
    const seen = blocked ? blockView(viewed, width, height, createRandom(`${scenario.seed}/blocked/${frame}`)) : viewed;
    const data = new Uint8Array(3 * width * height);
    sensor.expose(seen, gains[frame]!, width, frame, data);
    yield { width, height, data };
    frame += 1;
  }
}

/** Where the camera stands at a run time: the last move counts. */
function viewAt(
  scenario: Scenario,
  runS: number,
): { readonly shift: readonly [number, number]; readonly turn: Turn | null } {
  const move = scenario.disturbances.moves.findLast(({ atRunS }) => runS >= atRunS);
  if (move === undefined) return { shift: [0, 0], turn: null };
  const turn = { rotationDeg: move.rotationDeg ?? 0, scale: move.scale ?? 1 };
  return { shift: [move.dx, move.dy], turn: turn.rotationDeg === 0 && turn.scale === 1 ? null : turn };
}

/** How one vial's liquid looks at one time; `null` before dosing. */
interface LiquidLook {
  /** Linear RGB of each path, interleaved; and for the upper layer where there is one. */
  readonly colours: Float32Array;
  readonly upper: Float32Array | null;
  /** Pixels from the first surface down to which the upper layer reaches. */
  readonly upperDepth: number;
  /** Pixels by which the surface has sunk. */
  readonly sunk: number;
  readonly brightness: number;
  /** Relative depth of the grain of a turbid liquid. */
  readonly grain: number;
  readonly plainDepth: number;
  opacity(depth: number): number;
  shade(depth: number): number;
}

function liquidLook(
  course: VialCourse,
  runS: number,
  scenario: Scenario,
  layout: Layout,
  weights: ReturnType<typeof scenarioWeights>,
): LiquidLook | null {
  const loss = course.levelLossCm(runS);
  if (loss === null) return null;
  const paths = pathShares.map((share) => share * scenario.rack.innerDiameterCm * course.path);
  const coloursAt = (strength: number): Float32Array =>
    Float32Array.from(
      transmittances(course.absorbance(runS, strength), paths).flatMap((transmittance) =>
        weighLinearRgb(weights, transmittance),
      ),
    );
  const { layer, precipitate, moved } = course.vial;
  const move = moved !== null && runS >= moved.atRunS ? moved : null;
  return {
    colours: coloursAt(1),
    upper: layer === null ? null : coloursAt(layer.upperStrength),
    upperDepth: (layer?.upperShare ?? 0) * course.liquidCm * layout.pixelsPerCm,
    sunk: (loss + (move?.downCm ?? 0)) * layout.pixelsPerCm,
    brightness: course.brightness * (move?.brightness ?? 1),
    grain: precipitate !== null && runS - course.vial.addedRunS > precipitate.fromS ? 0.05 : 0,
    ...meniscusProfile(layout.pixelsPerCm),
  };
}

/** Lays a liquid over the still scene. */
function drawLiquid(
  linear: Float32Array,
  still: Float32Array,
  pixels: LiquidPixels,
  flare: number,
  look: LiquidLook | null,
): void {
  if (look === null) return;
  for (let index = 0; index < pixels.index.length; index += 1) {
    const depth = pixels.depth[index]! - look.sunk;
    const at = 3 * pixels.index[index]!;
    const plain = depth > look.plainDepth;
    const opacity = (plain ? 1 : look.opacity(depth)) * pixels.cover[index]!;
    const colours = look.upper !== null && depth < look.upperDepth ? look.upper : look.colours;
    const place = pixels.path[index]! * (pathSteps - 1);
    const step = Math.min(pathSteps - 2, place | 0);
    const share = place - step;
    const light =
      pixels.back[index]! * look.brightness * (plain ? 1 : look.shade(depth)) * (1 + look.grain * pixels.grain[index]!);
    const added = pixels.glare[index]! + flare;
    for (let channel = 0; channel < 3; channel += 1) {
      const near = colours[3 * step + channel]!;
      const colour = near + share * (colours[3 * step + 3 + channel]! - near);
      const behind = still[at + channel]!;
      const seen = behind + opacity * (light * colour + added - behind);
      linear[at + channel] = Math.min(linearLimits.high, Math.max(linearLimits.low, seen));
    }
  }
}
