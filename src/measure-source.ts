import { boundingBox, collectColumns, createRegionReader, cropOfImage, regionCrop } from './colour/index.ts';
import type { RegionReader, RegionReading, TransferName } from './colour/index.ts';
import { UserError } from './errors.ts';
import { smallJpeg, type OpenSource } from './frames/index.ts';
import { correctLight, judgeFrames } from './light/index.ts';
import type { CameraSettings, CropRequest, RgbImage } from './model/frame.ts';
import type { Measurement, MeasurementNote, RegionColours, Still } from './model/measurement.ts';
import type { Region, Rig } from './model/region.ts';
import type { Transfer } from './model/run.ts';
import type { Shift } from './model/shift.ts';
import {
  chooseAnchors,
  createTracker,
  cropMarginPixels,
  describeMotion,
  greyOfImage,
  type Tracker,
  type TrackedShift,
} from './motion/index.ts';
import { backgroundRegions } from './background-regions.ts';

export interface MeasureRequest {
  readonly source: OpenSource;
  readonly rig: Rig;
  /** Regions to be measured, in the order of the measurement. */
  readonly regions: readonly Region[];
  readonly transfer: Transfer;
  readonly glance: boolean;
  readonly onFrame: (done: number, total: number | null) => void;
}

/** Pictures looked at before measuring: enough to tell lasting glare from colour; a few of them go into the report. Chosen. */
const lookCount = 8;
const anchorCount = 6;
const stillWidth = 480;

/** The slow half: every frame's crops to robust colours, motion followed, light corrected. Memory does not grow with pixels. */
export async function measureSource(request: MeasureRequest): Promise<Measurement> {
  const { source, rig, regions } = request;
  const frame = { width: source.info.width, height: source.info.height };
  checkFrameSize(rig, frame);
  const transfer = transferOf(request.transfer, source.info.transferTag);
  const looks = await lookAhead(source);
  const white = rig.white;
  const background = white.length > 0 ? [] : backgroundRegions(rig);
  const margin = cropMarginPixels(frame.width);
  const greys = [looks[0]!, looks[looks.length >> 1]!, looks[looks.length - 1]!].map(({ image }) => greyOfImage(image));
  const anchors = chooseAnchors(greys, [...rig.regions, ...white], anchorCount).map((crop, index) => ({
    ...crop,
    id: `anchor ${index + 1}`,
  }));
  const measured: readonly { region: Region; crop: CropRequest; kind: 'vial' | 'white' }[] = [
    ...regions.map((region) => ({ region, crop: regionCrop(region, 'vial', frame, margin), kind: 'vial' as const })),
    ...[...white, ...background].map((region) => ({
      region,
      crop: { ...regionCrop(region, 'white', frame, margin), id: patchId(region.id) },
      kind: 'white' as const,
    })),
  ];
  const readers = measured.map(({ region, crop }) => createRegionReader(region, crop, { frame, transfer }));
  learnFromLooks(
    looks,
    anchors,
    measured.map(({ crop }) => crop),
    readers,
    frame,
  );

  const readings: (RegionReading | null)[][] = measured.map(() => []);
  const timeRunS: number[] = [];
  const index: number[] = [];
  const settings: (CameraSettings | null)[] = [];
  const shifts: (TrackedShift | null)[] = [];
  const rejected: { index: number; timeRunS: number | null; reason: string }[] = [];
  let tracker: Tracker | null = null;
  let framesRead = 0;
  for await (const one of source.frames([...measured.map(({ crop }) => crop), ...anchors])) {
    framesRead += 1;
    request.onFrame(framesRead, source.info.frameCount);
    if (one.kind === 'rejected') {
      const named = one.file === null ? one.reason : `${one.file}: ${one.reason}`;
      rejected.push({ index: one.index, timeRunS: one.timeRunS, reason: named });
      continue;
    }
    tracker ??= anchors.length === 0 ? null : createTracker(one.regions, frame);
    const shift = tracker === null || tracker.anchors === 0 ? null : tracker.track(one.regions);
    const pixels = new Map(one.regions.map((region) => [region.id, region]));
    measured.forEach(({ crop }, place) => {
      const crops = pixels.get(crop.id);
      readings[place]!.push(crops === undefined ? null : readers[place]!.read(crops, shift ?? undefined));
    });
    timeRunS.push(one.timeRunS);
    index.push(one.index);
    settings.push(one.settings);
    shifts.push(shift);
  }
  if (timeRunS.length === 0) {
    throw new UserError({ code: 'no-frames', message: 'no frame of the source could be used', key: 'source' });
  }

  const columns = measured.map(({ region, kind }, place) => collectColumns(region.id, kind, readings[place]!));
  const refused = judgeFrames({
    vials: columns.slice(0, regions.length),
    patches: columns.slice(regions.length),
    motionConfidence: shifts.map((shift) => shift?.confidence ?? null),
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
    });
  }
  const keep = <T>(values: readonly T[]): T[] => kept.map((position) => values[position]!);
  const keptColumns = columns.map((column) => keepColumns(column, kept));
  const used = { index: keep(index), timeRunS: keep(timeRunS) };
  const corrected = correctLight({
    timeRunS: used.timeRunS,
    frame,
    vials: keptColumns.slice(0, regions.length),
    patches: keptColumns.slice(regions.length, regions.length + white.length),
    backgrounds: keptColumns.slice(regions.length + white.length),
    centres: Object.fromEntries(measured.map(({ region }) => [region.id, centreOf(region)])),
    settings: keep(settings),
  });
  const followed = keep(shifts);
  const motion = {
    dx: followed.map((shift) => shift?.dx ?? null),
    dy: followed.map((shift) => shift?.dy ?? null),
    rotation: followed.map((shift) => shift?.rotation ?? null),
    scale: followed.map((shift) => shift?.scale ?? null),
  };
  const notes: MeasurementNote[] = [
    ...describeMotion(used.timeRunS, motion),
    ...corrected.notes,
    ...(tracker === null || tracker.anchors === 0 ? [notFollowed] : []),
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
    stills: await stillsOf(looks),
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

function checkFrameSize(rig: Rig, frame: { readonly width: number; readonly height: number }): void {
  if (rig.frame.width === frame.width && rig.frame.height === frame.height) return;
  throw new UserError({
    code: 'frame-size',
    message: 'the rig was placed on frames of another size',
    key: 'rig',
    expected: `${rig.frame.width} x ${rig.frame.height} (rig.json, upright)`,
    got: `${frame.width} x ${frame.height} (the source, upright)`,
    hint: 'film with the same settings as the rig was placed with, or place the rig anew on this source',
  });
}

/** `srgb` whatever a film's tag, unless the run file asks for the tag. */
function transferOf(transfer: Transfer, tag: string | null): TransferName {
  if (transfer !== 'tagged') return transfer;
  return tag === 'bt709' || tag === 'linear' || tag === 'hlg' || tag === 'pq' ? tag : 'srgb';
}

interface Look {
  readonly image: RgbImage;
  readonly timeRunS: number;
}

async function lookAhead(source: OpenSource): Promise<readonly Look[]> {
  const duration = source.info.durationS ?? 0;
  const looks: Look[] = [];
  let failure: unknown = null;
  for (let look = 0; look < lookCount; look += 1) {
    try {
      const taken = await source.still((duration * look) / (lookCount - 1));
      if (looks.every(({ timeRunS }) => timeRunS !== taken.timeRunS)) looks.push(taken);
    } catch (error) {
      failure ??= error; // a broken picture among good ones; the frames tell of it by name
    }
  }
  if (looks.length === 0) throw failure;
  return looks;
}

function learnFromLooks(
  looks: readonly Look[],
  anchors: readonly CropRequest[],
  crops: readonly CropRequest[],
  readers: readonly RegionReader[],
  frame: { readonly width: number; readonly height: number },
): void {
  const cut = (image: RgbImage) => anchors.map((anchor) => cropOfImage(image, anchor));
  const tracker = anchors.length === 0 ? null : createTracker(cut(looks[0]!.image), frame);
  for (const { image } of looks) {
    const shift: Shift | undefined = tracker === null || tracker.anchors === 0 ? undefined : tracker.track(cut(image));
    readers.forEach((reader, place) => reader.learn(cropOfImage(image, crops[place]!), shift));
  }
}

async function stillsOf(looks: readonly Look[]): Promise<readonly Still[]> {
  return Promise.all(
    looks.map(async ({ image, timeRunS }, frame) => {
      const width = Math.min(stillWidth, image.width);
      const jpeg = await smallJpeg(image, stillWidth);
      return {
        frame,
        timeRunS,
        width,
        height: Math.round((image.height * width) / image.width),
        jpegBase64: Buffer.from(jpeg).toString('base64'),
      };
    }),
  );
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
