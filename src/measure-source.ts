import { collectColumns } from './colour/index.ts';
import { placeInFrame } from './model/place-in-frame.ts';
import { boundingBox } from './model/region-box.ts';
import type { TransferName } from './colour/index.ts';
import { UserError } from './errors.ts';
import type { OpenSource } from './frames/index.ts';
import { cameraLostReason, chartCorrection, correctLight, fitBackdrop, judgeFrames } from './light/index.ts';
import type { ChartTable } from './model/chart.ts';
import type { Measurement, MeasurementNote, RegionColours } from './model/measurement.ts';
import type { Region, Rig } from './model/region.ts';
import type { Transfer } from './model/run.ts';
import { describeLost, describeMotion } from './motion/index.ts';
import { backdropPlaces } from './backdrop-places.ts';
import { backgroundRegions } from './background-regions.ts';
import { followRegions } from './follow-regions.ts';
import { placeRig } from './place-rig.ts';
import { placeStills } from './place-stills.ts';
import { readChart } from './read-chart.ts';

export interface MeasureRequest {
  readonly source: OpenSource;
  readonly rig: Rig;
  /** Regions to be measured, in the order of the measurement. */
  readonly regions: readonly Region[];
  readonly transfer: Transfer;
  /** The user's table of the rig's chart; `null` without chart. */
  readonly chart: ChartTable | null;
  readonly glance: boolean;
  readonly onFrame: (done: number, total: number | null) => void;
}

/** The slow half: every frame's crops to robust colours, motion followed, light corrected. Memory does not grow with pixels. */
export async function measureSource(request: MeasureRequest): Promise<Measurement> {
  const { source } = request;
  const frame = { width: source.info.width, height: source.info.height };
  const { rig, notes: placing, shift: placed } = await placeRig(source, request.rig);
  const regions = request.regions.map(({ id }) => rig.regions.find((region) => region.id === id)!);
  const transfer = transferOf(request.transfer, source.info.transferTag);
  const white = rig.white;
  const background = white.length > 0 ? [] : backgroundRegions(rig);
  const measured: readonly { region: Region; id: string; kind: 'vial' | 'white' }[] = [
    ...regions.map((region) => ({ region, id: region.id, kind: 'vial' as const })),
    ...[...white, ...background].map((region) => ({ region, id: patchId(region.id), kind: 'white' as const })),
  ];
  const still = [...rig.regions, ...white];
  const beside = backdropPlaces(rig);
  const { anchors, stills, backdrop, lost, lostStretches, followedPx, ...read } = await followRegions({
    ...{ source, measured, still, transfer, backdrop: beside },
    onFrame: request.onFrame,
  });
  const { readings, timeRunS, index, settings, shifts, sharpness, rejected, framesRead, followed } = read;
  if (timeRunS.length === 0) {
    throw new UserError({ code: 'no-frames', message: 'no frame of the source could be used', key: 'source' });
  }
  const chart =
    request.chart === null || rig.chart === null
      ? null
      : chartCorrection(request.chart, rig.chart, await readChart({ source, chart: rig.chart, transfer, anchors }));

  const columns = measured.map(({ region, kind }, place) => collectColumns(region.id, kind, readings[place]!));
  const refused = judgeFrames({
    vials: columns.slice(0, regions.length),
    // Pieces of the background are no neutral patches: a hand before one of them spoils nothing.
    patches: columns.slice(regions.length, regions.length + white.length),
    cameraLost: lost,
    sharpness,
  });
  const kept = timeRunS.map((_, position) => position).filter((position) => refused[position] === null);
  refused.forEach((reason, position) => {
    if (reason !== null) rejected.push({ index: index[position]!, timeRunS: timeRunS[position]!, reason });
  });
  if (kept.length === 0) {
    const reason = refused.find((one) => one !== null) ?? 'unknown';
    throw new UserError({
      code: 'no-frames',
      message: `every frame was rejected (the first: ${reason})`,
      key: 'source',
      hint: 'see the frames with "vialapse preview"',
    });
  }
  const keep = <T>(values: readonly T[]): T[] => kept.map((position) => values[position]!);
  const keptColumns = columns
    .map((column) => keepColumns(column, kept))
    .map((column) => chart?.apply(column) ?? column);
  const used = { index: keep(index), timeRunS: keep(timeRunS) };
  const corrected = correctLight({
    timeRunS: used.timeRunS,
    frame,
    vials: keptColumns.slice(0, regions.length),
    patches: keptColumns.slice(regions.length, regions.length + white.length),
    backgrounds: keptColumns.slice(regions.length + white.length),
    centres: Object.fromEntries(measured.map(({ region }) => [region.id, centreOf(region)])),
    sides: Object.fromEntries(measured.map(({ region }) => [region.id, sideOf(region)])),
    settings: keep(settings),
  });
  const keptShifts = keep(shifts);
  const motion = {
    dx: keptShifts.map((shift) => shift?.dx ?? null),
    dy: keptShifts.map((shift) => shift?.dy ?? null),
    rotation: keptShifts.map((shift) => shift?.rotation ?? null),
    scale: keptShifts.map((shift) => shift?.scale ?? null),
  };
  const notes: MeasurementNote[] = [
    ...placing,
    ...describeMotion(used.timeRunS, motion),
    // A stretch that was dark, say, has another reason.
    ...describeLost(
      lostStretches.filter(({ fromRunS, toRunS }) =>
        refused.some(
          (reason, at) => reason === cameraLostReason && timeRunS[at]! >= fromRunS && timeRunS[at]! <= toRunS,
        ),
      ),
      followedPx,
    ),
    ...corrected.notes,
    ...(followed ? [] : [notFollowed]),
  ];
  return {
    schema: 'vialapse/measurement@1',
    source: source.info,
    glance: request.glance,
    frames: used,
    framesRead,
    rejected: rejected.sort((first, second) => first.index - second.index),
    vials: corrected.vials,
    patches: corrected.patches,
    motion,
    light: corrected.light,
    notes,
    chart: chart?.report ?? null,
    backdrop: fitBackdrop(
      beside.map((region, piece) => ({
        place: placeInFrame(region, frame),
        rgb: backdrop[piece]!.map((rgb) => (rgb === null ? null : (chart?.colour(rgb) ?? rgb))),
      })),
    ),
    stills: placeStills(stills, placed, used.timeRunS, keptShifts),
  };
}

const notFollowed: MeasurementNote = {
  code: 'camera-not-followed',
  severity: 'warn',
  message: 'The picture has no still, textured places to follow the camera by: a nudge would not be seen.',
  fromRunS: null,
  toRunS: null,
  region: null,
};

/** Patches and vials may share names in a rig file; crops may not. */
const patchId = (id: string): string => `white ${id}`;

/** `srgb` whatever a film's tag, unless the run file asks for the tag. */
function transferOf(transfer: Transfer, tag: string | null): TransferName {
  if (transfer !== 'tagged') return transfer;
  return tag === 'bt709' || tag === 'linear' || tag === 'hlg' || tag === 'pq' ? tag : 'srgb';
}

function keepColumns(region: RegionColours, kept: readonly number[]): RegionColours {
  return Object.fromEntries(
    Object.entries(region).map(([key, value]) => [
      key,
      Array.isArray(value) ? kept.map((position) => value[position] as number | null) : (value as unknown),
    ]),
  ) as unknown as RegionColours;
}

function centreOf(region: Region): readonly [number, number] {
  const box = boundingBox(region);
  return [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
}

/** Side of a square as large as the region's box. */
function sideOf(region: Region): number {
  const { left, top, right, bottom } = boundingBox(region);
  return Math.sqrt((right - left) * (bottom - top));
}
