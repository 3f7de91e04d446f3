import { UserError } from '../errors.ts';
import type { CropRequest, FramePixels, RgbImage, SourceInfo } from '../model/frame.ts';
import type { SourcePart, Timing } from '../model/run.ts';
import { earlyHashes, type EarlyHashes } from './early-hashes.ts';
import { inOrder } from './in-order.ts';
import { openParts, shownName } from './open-parts.ts';
import type { Part, PartFrame } from './part.ts';
import { type Look, noPicture, placeAt, runLooks } from './run-looks.ts';
import { placeParts, type PlacedPart } from './timeline.ts';

export interface SourceRequest {
  readonly parts: readonly SourcePart[];
  readonly timing: Timing;
  /** Inputs' paths are written relative to it. */
  readonly baseDir: string;
  /** Only key frames of a film, at most some 60 pictures of a series. */
  readonly glance?: boolean;
  /** Frames later than this on the run's clock are not read. */
  readonly untilRunS?: number | null;
  readonly ffmpegPath?: string | null;
}

export interface FrameOptions {
  readonly signal?: AbortSignal;
  /** Let a film be decoded in two halves at once: the first usable frame comes first, then frames of both halves alternate. */
  readonly anyOrder?: boolean;
}

export interface OpenSource {
  readonly info: SourceInfo;
  /**
   * Indices at which frames of `anyOrder` may begin to come beside the earlier ones; ascending, often empty. Between two
   * of them frames come in order of time, so what follows frames keeps one state for each such stretch.
   */
  readonly stretchStarts: readonly number[];
  /** The whole upright picture shown at that time (the frame at or just before it), for looking at. */
  still(timeRunS: number): Promise<{ readonly image: RgbImage; readonly timeRunS: number }>;
  /**
   * Whole pictures near the given shares of the run (0 first frame, 1 last), each once and as near as is quick: a film
   * has them at its key frames. In the order of the shares as far as that is quick. `crops`: all that will be cut out of them;
   * they are then small where that can be done in small ones.
   * @throws UserError when no picture could be read.
   */
  looks(shares: readonly number[], crops?: readonly CropRequest[]): AsyncIterable<Look>;
  /**
   * Every frame's crops, once each, rejected frames with their reason; in order of time unless `anyOrder`.
   * Pixels hold until the next frame is asked for. Ends early at `untilRunS`.
   * @throws UserError `no-frames` when not one frame could be used; `crop-outside`; the abort reason.
   */
  frames(crops: readonly CropRequest[], options?: AbortSignal | FrameOptions): AsyncIterable<FramePixels>;
  close(): Promise<void>;
}

/**
 * Looks into films or pictures without decoding them.
 * @throws UserError when the source cannot be what a run needs; MachineError `ffmpeg-missing` for a film without ffmpeg.
 */
export async function openSource(request: SourceRequest): Promise<OpenSource> {
  const hashes = earlyHashes();
  try {
    return await openHashing(request, hashes);
  } catch (error) {
    hashes.stop();
    throw error;
  }
}

async function openHashing(request: SourceRequest, hashes: EarlyHashes): Promise<OpenSource> {
  const context = { timing: request.timing, baseDir: request.baseDir, ffmpegPath: request.ffmpegPath ?? null, hashes };
  const { parts, sources } = await openParts(request.parts, context);
  if (parts.length === 0)
    throw new UserError({ code: 'source-missing', key: 'source', message: 'the run has no source' });
  checkParts(parts);
  const { placed, notes } = placeParts(parts, sources, request.timing);
  const inputs: { path: string; sha256: string }[] = [];
  const files = [...new Set(parts.flatMap((part) => part.files))];
  const hashed = inOrder(files, 2, async (file) => ({
    path: shownName(request.baseDir, file),
    sha256: await hashes.of(file),
  }));
  for await (const input of hashed) inputs.push(input);
  const closing = new AbortController();
  return {
    info: sourceInfo(placed, [...parts.flatMap((part) => part.notes), ...notes], inputs),
    stretchStarts: stretchStarts(placed, request.untilRunS ?? null),
    still: (timeRunS) => stillAt(placed, timeRunS),
    looks: (shares, crops) => runLooks(placed, shares, request.untilRunS ?? null, crops ?? null),
    frames: (crops, options) => {
      const given: FrameOptions = options instanceof AbortSignal ? { signal: options } : (options ?? {});
      const signal = given.signal === undefined ? closing.signal : AbortSignal.any([given.signal, closing.signal]);
      return runFrames(placed, crops, {
        ...{ signal, anyOrder: given.anyOrder ?? false, glance: request.glance ?? false },
        untilRunS: request.untilRunS ?? null,
      });
    },
    close: async () => {
      closing.abort(new Error('the source was closed'));
      return Promise.resolve();
    },
  };
}

function stretchStarts(placed: readonly PlacedPart[], untilRunS: number | null): readonly number[] {
  return placed.flatMap((place) => {
    const split = place.part.splitAt(endOf(place, untilRunS));
    return split === null || place.part.count === null ? [] : [place.firstIndex + split];
  });
}

function checkParts(parts: readonly Part[]): void {
  const first = parts[0]!;
  for (const part of parts) {
    if (part.kind !== first.kind) {
      throw new UserError({
        code: 'mixed-kinds',
        file: part.shown,
        key: 'source',
        message: 'films and pictures cannot be one run',
        hint: 'make two run files',
      });
    }
    if (part.width !== first.width || part.height !== first.height) {
      throw new UserError({
        ...{ code: 'mixed-sizes', file: part.shown, message: 'the parts of the run have different picture sizes' },
        ...{ expected: `${first.width} x ${first.height}, as ${first.shown}`, got: `${part.width} x ${part.height}` },
      });
    }
  }
}

function sourceInfo(
  placed: readonly PlacedPart[],
  notes: SourceInfo['notes'],
  inputs: SourceInfo['inputs'],
): SourceInfo {
  const parts = placed.map(({ part }) => part);
  const first = parts[0]!;
  const joined = (pick: (part: Part) => string | null): string | null =>
    [...new Set(parts.map(pick).filter((value) => value !== null))].join(', ') || null;
  const frameCount = parts.reduce<number | null>(
    (sum, part) => (sum === null || part.count === null ? null : sum + part.count),
    0,
  );
  return {
    ...{ kind: first.kind, width: first.width, height: first.height, frameCount },
    durationS: placed.at(-1)!.endRunS,
    codec: joined((part) => part.codec) ?? 'unknown',
    bitDepth: Math.min(...parts.map((part) => part.bitDepth)),
    chromaSubsampled: parts.some((part) => part.chromaSubsampled),
    transferTag: joined((part) => part.transferTag),
    conversion: joined((part) => part.conversion),
    decoder: joined((part) => part.decoder) ?? 'unknown',
    ...{ notes, inputs },
  };
}

interface RunOptions {
  readonly signal: AbortSignal;
  readonly anyOrder: boolean;
  readonly glance: boolean;
  readonly untilRunS: number | null;
}

async function* runFrames(
  placed: readonly PlacedPart[],
  crops: readonly CropRequest[],
  options: RunOptions,
): AsyncGenerator<FramePixels> {
  const { width, height } = placed[0]!.part;
  crops.forEach((crop) => checkCrop(crop, width, height));
  let used = 0;
  let firstReason: string | null = null;
  let counted = 0;
  let endRunS = -Infinity;
  for (const place of placed) {
    const firstIndex = place.part.count === null ? counted : place.firstIndex;
    const endPosition = endOf(place, options.untilRunS);
    if (endPosition === 0) break;
    let partEndRunS = endRunS;
    for await (const frame of place.part.frames(crops, { ...options, endPosition })) {
      options.signal.throwIfAborted();
      const made = onRunClock(frame, place, firstIndex, endRunS);
      if (options.untilRunS !== null && made.timeRunS !== null && made.timeRunS > options.untilRunS) continue;
      counted = Math.max(counted, made.index + 1);
      partEndRunS = Math.max(partEndRunS, made.timeRunS ?? -Infinity);
      if (made.kind === 'frame') used++;
      else firstReason ??= made.reason;
      yield made;
    }
    endRunS = partEndRunS;
  }
  if (used === 0) {
    throw new UserError({
      ...{ code: 'no-frames', file: placed[0]!.part.shown, message: 'not one frame of the source could be used' },
      got: firstReason ?? 'no frame at all',
    });
  }
}

function onRunClock(frame: PartFrame, place: PlacedPart, firstIndex: number, endRunS: number): FramePixels {
  const timeRunS = place.timeRunS(frame.position);
  const shared = { index: firstIndex + frame.position, file: frame.file };
  const rejected = (reason: string): FramePixels => ({ kind: 'rejected', ...shared, timeRunS, reason });
  if (frame.regions === null) return rejected(frame.reason ?? 'not usable');
  if (timeRunS === null) return rejected('its time is unknown');
  if (timeRunS <= endRunS) return rejected('overlaps the file before');
  return { kind: 'frame', ...shared, timeRunS, regions: frame.regions, settings: frame.settings };
}

/** First position later than the limit, so that decoding stops there; `null` when it cannot be told beforehand. */
function endOf(place: PlacedPart, untilRunS: number | null): number | null {
  if (untilRunS === null || place.part.count === null) return null;
  let end = 0;
  for (let position = 0; position < place.part.count; position++) {
    const timeRunS = place.timeRunS(position);
    if (timeRunS !== null && timeRunS <= untilRunS) end = position + 1;
  }
  return end;
}

function checkCrop(crop: CropRequest, width: number, height: number): void {
  const whole = [crop.x, crop.y, crop.width, crop.height].every(Number.isInteger);
  const inside = crop.x >= 0 && crop.y >= 0 && crop.x + crop.width <= width && crop.y + crop.height <= height;
  if (whole && inside && crop.width > 0 && crop.height > 0) return;
  throw new UserError({
    ...{ code: 'crop-outside', message: `the region ${crop.id} does not lie inside the frame` },
    expected: `inside ${width} x ${height}`,
    got: `x ${crop.x}, y ${crop.y}, ${crop.width} x ${crop.height}`,
  });
}

async function stillAt(
  placed: readonly PlacedPart[],
  timeRunS: number,
): Promise<{ image: RgbImage; timeRunS: number }> {
  const { place, position } = placeAt(placed, timeRunS);
  const found = (await place.part.still(position)) ?? (await place.part.still(0));
  if (found === null) throw noPicture([place]);
  return { image: found.image, timeRunS: place.timeRunS(found.position) ?? timeRunS };
}
