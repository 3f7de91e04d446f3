import type { Column, RegionColours } from '../model/measurement.ts';
import { eventsOf, settlingGaps } from './events.ts';
import { isSharp, isSharpAndLasts, stepAt } from './lasting-step.ts';
import { mean } from '../numeric/mean.ts';
import { median } from '../numeric/median.ts';
import { robustSd } from '../numeric/robust-sd.ts';
import type { JudgedVial, JudgeInput, VialMove } from './types.ts';
import { typicalGap } from './usable.ts';

/** Least step of brightness that counts, natural log; chosen: 4 %, some 0.02 in extent, above what films' key frames do. */
const leastBrightness = 0.04;
/** Channels of a pure change of brightness differ by no more than this share of it. Chosen: in the reaction red and green never go together. */
const unevenShare = 0.25;
/** Least step of the meniscus, pixels. Chosen: beyond what noise does to an edge. */
const leastRows = 3;
/** Times the usual scatter from frame to frame that a step must exceed; chosen. */
const timesNoise = 6;
/** Linear light below which a channel tells nothing of brightness; and share of clipped samples. Chosen. */
const darkest = 0.03;
const clippedSamples = 0.5;
/** Neighbours that may step at the same moment: one, or this share. Chosen: else it was the light, the rack or the camera. */
const alsoStepping = 0.25;

const channels = ['red', 'green', 'blue'] as const;

/** What steps are looked for in, all vials of the measurement by frame. */
interface Traces {
  /** Natural log of linear light, red, green and blue. */
  readonly logs: readonly (readonly Column[])[];
  readonly rows: readonly Column[];
}

/**
 * For each vial the first moment at which it alone looks moved, lifted or turned while its neighbours stay: all its readable channels change
 * by one factor between two frames, or its meniscus jumps, and it stays so. A reaction changes channels by different factors. `null`: none
 * seen. A moment that the run file's events tell of is none.
 */
export function findMoves(input: JudgeInput, vials: readonly JudgedVial[]): readonly (VialMove | null)[] {
  const traces: Traces = {
    logs: input.measurement.vials.map((vial) => channels.map((channel) => logarithm(vial[channel]))),
    rows: input.measurement.vials.map(({ meniscusY }) => meniscusY),
  };
  return vials.map((judged) => findMove(input, traces, judged));
}

function findMove({ measurement, run }: JudgeInput, traces: Traces, judged: JudgedVial): VialMove | null {
  const { timeRunS } = measurement.frames;
  const own = measurement.vials[judged.index];
  if (own === undefined) return null;
  const gapS = typicalGap(timeRunS);
  const told = eventsOf(run.events, judged.vial.region).map(({ atRunS }) => atRunS);
  const brightness = brightnessSteps(traces, judged.index, readableChannels(own));
  const meniscus = meniscusSteps(traces, judged.index);
  // The first frames after dosing mix and settle.
  for (const frame of judged.usable.frame.slice(settlingGaps + 1)) {
    const atRunS = timeRunS[frame]!;
    const fromS = timeRunS[frame - 1]! - settlingGaps * gapS;
    if (told.some((time) => time >= fromS && time <= atRunS + settlingGaps * gapS)) continue;
    const factor = brightness(frame);
    if (factor !== null) return { kind: 'brightness', frame, atRunS, size: Math.expm1(factor) };
    const rows = meniscus(frame);
    if (rows !== null) return { kind: 'meniscus', frame, atRunS, size: rows };
  }
  return null;
}

/** A function that tells the lasting step of brightness at a frame, natural log; `null`: none. */
function brightnessSteps({ logs }: Traces, index: number, readable: readonly number[]): (at: number) => number | null {
  const values = readable.map((channel) => logs[index]![channel]!);
  const least = Math.max(leastBrightness, timesNoise * Math.max(0, ...values.map(frameNoise)));
  return (at) => {
    if (readable.length < 2 || !values.every((value) => jumps(value, at, least))) return null;
    const common = readable.map((channel) =>
      othersSteps(
        logs.map((vial) => vial[channel]!),
        index,
        at,
      ),
    );
    const steps = values.map((value, i) => (stepAt(value, at) ?? NaN) - commonStep(common[i]!));
    const size = mean(steps);
    if (!(Math.abs(size) >= least) || Math.max(...steps) - Math.min(...steps) > unevenShare * Math.abs(size))
      return null;
    return values.every((value) => isSharpAndLasts(value, at, size)) && isAlone(common[0]!, size) ? size : null;
  };
}

/** The same for the row of the meniscus, pixels. */
function meniscusSteps({ rows }: Traces, index: number): (at: number) => number | null {
  const own = rows[index]!;
  const least = Math.max(leastRows, timesNoise * frameNoise(own));
  return (at) => {
    if (!jumps(own, at, least)) return null;
    const common = othersSteps(rows, index, at);
    const size = (stepAt(own, at) ?? NaN) - commonStep(common);
    return Math.abs(size) >= least && isSharpAndLasts(own, at, size) && isAlone(common, size) ? size : null;
  };
}

/** Whether neighbouring frames differ by half of `least` or more: hardly any do. */
const jumps = (values: Column, at: number, least: number): boolean =>
  Math.abs((values[at] ?? NaN) - (values[at - 1] ?? NaN)) > least / 2;

/** What another vial does at the same frame. */
interface OtherStep {
  readonly step: number;
  /** Between two frames; a reacting vial goes on for longer, and tells nothing of a common cause. */
  readonly sharp: boolean;
}

function othersSteps(all: readonly Column[], index: number, at: number): readonly OtherStep[] {
  return all.flatMap((values, i) => {
    const step = i === index ? null : stepAt(values, at);
    return step === null ? [] : [{ step, sharp: isSharp(values, at, step) }];
  });
}

const commonStep = (others: readonly OtherStep[]): number => median(others.map(({ step }) => step)) ?? 0;

function isAlone(others: readonly OtherStep[], size: number): boolean {
  const centre = commonStep(others);
  const stepping = others.filter(({ step, sharp }) => sharp && Math.abs(step - centre) > Math.abs(size) / 2);
  return stepping.length <= Math.max(1, alsoStepping * others.length);
}

/** Positions in {@link channels} that tell of brightness. */
function readableChannels(own: RegionColours): readonly number[] {
  return channels.flatMap((channel, i) =>
    (median(own[channel]) ?? 0) > darkest && (median(own[`${channel}Clipped`]) ?? 0) < clippedSamples ? [i] : [],
  );
}

const logarithm = (column: Column): Column =>
  column.map((value) => (value === null ? null : Math.log(Math.max(value, darkest / 10))));

/** Robust scatter of the change from frame to frame. */
function frameNoise(values: Column): number {
  const changes = values.slice(1).flatMap((value, i) => {
    const before = values[i] ?? null;
    return value === null || before === null ? [] : [value - before];
  });
  return robustSd(changes) ?? 0;
}
