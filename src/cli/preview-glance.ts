import { openSource } from '../frames/index.ts';
import { boundingBox } from '../model/region-box.ts';
import { contains } from '../files/region-geometry.ts';
import { repeatedReason } from '../model/frame.ts';
import type { CameraSettings, CropRequest, RegionPixels, RgbImage, SourceInfo } from '../model/frame.ts';
import { describeSettings } from '../light/index.ts';
import type { Region, Rig } from '../model/region.ts';
import type { Run } from '../model/run.ts';
import type { MeasurementNote } from '../model/measurement.ts';
import { placeRig } from '../place-rig.ts';
import { singleFrame } from '../refuse-single-frame.ts';
import { checkFrameSize } from '../check-frame-size.ts';
import { choosePictured, type FrameInQuestion, judgeLooks, type LookedFrame, pictureAt } from './frames-in-question.ts';

/** What one region looks like in one frame: encoded values 0..1. */
export interface RegionLook {
  readonly id: string;
  readonly timeRunS: number;
  /** Mean of green, which carries most of the lightness. */
  readonly green: number;
  /** Share of samples at full scale in any channel, 0..1. */
  readonly full: number;
  /** Share of samples at full scale in all channels, 0..1: reflections of the lamp. */
  readonly glare: number;
  /** Mean linear light of red, green, blue. */
  readonly linear: readonly [number, number, number];
}

export interface PreviewGlance {
  readonly info: SourceInfo;
  /** The rig where its vials lie in this source, as analyse would move it, and what is to be said of that. */
  readonly rig: Rig;
  readonly placing: readonly MeasurementNote[];
  readonly still: RgbImage;
  readonly looks: readonly RegionLook[];
  /** Frames that analyse would leave out, in order. */
  readonly inQuestion: readonly FrameInQuestion[];
  /** Those of them that are worth a look, with their pictures. */
  readonly pictured: readonly FrameInQuestion[];
  readonly framesLookedAt: number;
  /** `false`: only key frames of a film, or some pictures of a series. */
  readonly everyFrame: boolean;
  /** Camera settings that changed between pictures looked at, a sentence each. */
  readonly settingsChanged: readonly string[];
}

/**
 * Pixels up to which every frame is looked at, not only key frames. Chosen: some ten seconds on two cores (films decode at
 * about 400 million pixels a second, pictures at 100).
 */
const everyFrameBelow = { video: 4e9, stills: 1e9 };

/** Encoded value from which a sample counts as at full scale: 250 of 255, as encoders rarely reach the very top. */
const fullScale = 250 / 255;

/** Opens the source, checks it against the rig and looks at its frames: at all of a short one, else at key frames. */
export async function glanceAt(run: Run, baseDir: string, onFrame: (done: number) => void): Promise<PreviewGlance> {
  const request = { parts: run.source, timing: run.timing, baseDir };
  let source = await openSource(request);
  const { kind, width, height, frameCount } = source.info;
  const everyFrame = width * height * (frameCount ?? Infinity) <= everyFrameBelow[kind];
  if (!everyFrame) {
    await source.close();
    source = await openSource({ ...request, glance: true });
  }
  try {
    checkFrameSize(run, source.info);
    const { rig, notes: placing } = await placeRig(source, run.rig);
    const regions = [...rig.regions, ...rig.white];
    const white = new Set(rig.white.map(({ id }) => id));
    const crops = regions.map((region) => cropOf(region, white.has(region.id), run.rig.frame));
    const looked: LookedFrame[] = [];
    const inQuestion: Omit<FrameInQuestion, 'picture'>[] = [];
    const settings: { readonly timeRunS: number; readonly told: CameraSettings | null }[] = [];
    let framesLookedAt = 0;
    for await (const frame of source.frames(crops)) {
      onFrame((framesLookedAt += 1));
      const { index, timeRunS, file } = frame;
      // A note tells of repeats: there is nothing in them to look at.
      if (frame.kind === 'rejected' && frame.reason === repeatedReason) continue;
      if (frame.kind === 'rejected') inQuestion.push({ index, timeRunS, file, reason: frame.reason });
      else {
        const looks = frame.regions.map((pixels, at) => lookOf(pixels, regions[at]!, frame.timeRunS));
        settings.push({ timeRunS: frame.timeRunS, told: frame.settings });
        looked.push({ index, timeRunS: frame.timeRunS, file, looks });
      }
    }
    // As analyse does; a panel for match may be a single picture.
    const panel = run.vials.some(({ role }) => role === 'known');
    if (everyFrame && looked.length < 2 && !panel) throw singleFrame(run, inQuestion);
    const judged = judgeLooks(looked, run.rig.regions.length);
    const readable = new Set(judged.map(({ index }) => index));
    const all = [...inQuestion, ...judged].sort((first, second) => first.index - second.index);
    const pictured: FrameInQuestion[] = [];
    for (const one of choosePictured(all)) {
      const picture = readable.has(one.index) ? await pictureAt(source, one.timeRunS ?? 0) : null;
      pictured.push({ ...one, picture });
    }
    const unseen = new Set(all.map(({ index }) => index));
    const seen = looked.filter(({ index }) => !unseen.has(index));
    // All vials hold their liquid then, and few have turned.
    const dosedS = Math.max(0, ...run.vials.map(({ addedRunS }) => addedRunS ?? 0));
    const still = await source.still((seen.find(({ timeRunS }) => timeRunS >= dosedS) ?? seen[0])?.timeRunS ?? dosedS);
    return {
      ...{ info: source.info, rig, placing, still: still.image, framesLookedAt, everyFrame, pictured },
      settingsChanged: settingsChanged(settings),
      inQuestion: all.map((one) => ({ ...one, picture: null })),
      // Glare and light are told of frames that will be used.
      looks: seen.flatMap(({ looks }) => looks),
    };
  } finally {
    await source.close();
  }
}

function settingsChanged(
  settings: readonly { readonly timeRunS: number; readonly told: CameraSettings | null }[],
): readonly string[] {
  const notes = describeSettings(
    settings.map(({ timeRunS }) => timeRunS),
    settings.map(({ told }) => told),
  );
  return notes.map(({ message }) => message);
}

function cropOf(region: Region, isWhite: boolean, frame: Run['rig']['frame']): CropRequest {
  const { left, top, right, bottom } = boundingBox(region);
  const x = Math.max(0, Math.floor(left));
  const y = Math.max(0, Math.floor(top));
  return {
    id: region.id,
    kind: isWhite ? 'white' : 'vial',
    x,
    y,
    width: Math.min(frame.width, Math.ceil(right)) - x,
    height: Math.min(frame.height, Math.ceil(bottom)) - y,
  };
}

function lookOf(pixels: RegionPixels, region: Region, timeRunS: number): RegionLook {
  let count = 0;
  let green = 0;
  let full = 0;
  let glare = 0;
  const linear = [0, 0, 0];
  for (let row = 0; row < pixels.height; row += 1) {
    for (let column = 0; column < pixels.width; column += 1) {
      const x = pixels.x + (column + 0.5) * pixels.pixelsPerSample;
      const y = pixels.y + (row + 0.5) * pixels.pixelsPerSample;
      if (!contains(region, [x, y])) continue;
      const at = row * pixels.width + column;
      const values = [pixels.red[at]!, pixels.green[at]!, pixels.blue[at]!];
      count += 1;
      values.forEach((value, channel) => (linear[channel]! += decoded(value)));
      green += values[1]!;
      if (Math.max(...values) >= fullScale) full += 1;
      if (Math.min(...values) >= fullScale) glare += 1;
    }
  }
  const share = (part: number): number => (count === 0 ? 0 : part / count);
  return {
    ...{ id: region.id, timeRunS, green: share(green), full: share(full), glare: share(glare) },
    linear: [share(linear[0]!), share(linear[1]!), share(linear[2]!)],
  };
}

/** Linear light by the sRGB curve's power part alone: enough to tell dark from bright and grey from coloured. */
const decoded = (value: number): number => ((Math.max(0, value) + 0.055) / 1.055) ** 2.4;
