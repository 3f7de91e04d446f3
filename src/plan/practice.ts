import type { KineticsInput, ScenarioInput } from '../simulate/index.ts';
import type { Bench } from './bench.ts';
import { groupCode, isHidden } from './labels.ts';
import type { PlannedVial } from './plan.ts';
import { esterRateAt, slowRate, type Pace } from './rates.ts';
import { scenarioOfPlan, usualSolution, type PlannedChemistry } from './scenario-of-plan.ts';
import type { Schedule } from './schedule.ts';
import { extentOfLevel, type Trace } from './trace.ts';

/** Frames of a practice film: enough to judge, quick to draw. Chosen. */
const mostFrames = 240;
const frame = { width: 1280, height: 720 } as const;

export interface PracticeInput {
  readonly bench: Bench;
  readonly vials: readonly PlannedVial[];
  readonly chemistry: PlannedChemistry;
  readonly schedule: Schedule;
  readonly margin: number;
  readonly alpha: number;
  readonly trace: Trace | null;
  readonly alcoholPace: Pace | null;
  readonly acidMolL: number;
}

/** The planned run to be filmed by the forward model, before any reagent is spent. */
export interface Practice {
  readonly scenario: ScenarioInput;
  /** The sample that is given the level that must not be missed; `null`: no sample takes it, or its amounts are not known. */
  readonly dirty: string | null;
}

/** All samples as they claim to be, but for one. Labels are codes where the plan is blind. */
export function practiceOf(input: PracticeInput): Practice {
  const { bench, vials, chemistry, schedule, trace } = input;
  // A blind practice tells nothing of its samples: all are clean.
  const blind = bench.blind === true;
  const dirty = blind || trace === null ? null : dirtySample(vials, chemistry);
  const frames = Math.min(mostFrames, schedule.frames);
  const scenario = scenarioOfPlan(bench, vials, chemistry, schedule, (vial) =>
    blind ? null : courseOf(vial, input, dirty),
  );
  return {
    dirty,
    scenario: {
      ...scenario,
      name: `${bench.name} practice`.slice(0, 100),
      frame,
      frameCount: frames,
      intervalS: Number((schedule.durationS / (frames - 1)).toFixed(3)),
      reading: { readAtS: schedule.readAtS, margin: input.margin, alpha: input.alpha },
      chemistry: { ...scenario.chemistry, ...usualSolution(1) },
      vials: scenario.vials.map((vial, index) => {
        const planned = vials[index]!;
        const expect = chemistry.materials[planned.material]!.material.expect;
        const hidden = isHidden(bench, planned);
        return {
          ...vial,
          label: hidden ? planned.code : vial.label,
          sampleMl: rounded(vial.sampleMl),
          group: planned.group === null ? null : hidden ? groupCode(vials, planned.group) : planned.group,
          expect: planned.role === 'sample' && !hidden ? (expect ?? null) : null,
          densityGMl: hidden ? null : rounded(vial.densityGMl),
          molarMassGMol: hidden ? null : rounded(vial.molarMassGMol),
        };
      }),
    },
  };
}

/** The last sample that should stand still. */
function dirtySample(vials: readonly PlannedVial[], { materials }: PlannedChemistry): string | null {
  const clean = materials.filter(
    ({ material, kind, exhaustingMolPercent }) =>
      material.role === 'sample' && kind !== 'ester' && material.expect !== 'reacts' && exhaustingMolPercent !== null,
  );
  const name = clean.at(-1)?.material.name;
  return name !== undefined && vials.some((vial) => vial.name === name) ? name : null;
}

function courseOf(vial: PlannedVial, input: PracticeInput, dirty: string | null): KineticsInput | null {
  if (vial.role !== 'sample') return null;
  const { chemistry, trace, schedule, bench } = input;
  const { kind, material } = chemistry.materials[vial.material]!;
  if (vial.name === dirty && trace !== null) {
    const amplitude = Math.min(1, bench.level.molPercent / trace.exhaustingMolPercent);
    const reached = Math.min(0.999, extentOfLevel(bench.level.molPercent, trace, schedule.readAtS) / amplitude);
    return {
      model: 'burst-background',
      k: digits(-Math.log(1 - reached) / schedule.readAtS),
      amplitude: digits(amplitude),
      background: slowRate,
    };
  }
  const pace = chemistry.paces[vial.material] ?? input.alcoholPace;
  if (material.expect === 'reacts' && kind !== 'ester' && pace !== null)
    return { model: 'first-order', k: digits(Math.LN2 / pace.halfTimeS) };
  if (kind === 'ester' && input.alcoholPace !== null) {
    return {
      model: 'consecutive',
      k1: digits(esterRateAt(bench.temperatureC, input.acidMolL)),
      k2: digits(Math.LN2 / input.alcoholPace.halfTimeS),
    };
  }
  return null;
}

const digits = (value: number): number => Number(value.toPrecision(3));

/** As written in a file that people read; far below any uncertainty. */
const rounded = (value: number | null | undefined): number | null =>
  value === null || value === undefined ? null : Number(value.toPrecision(5));
