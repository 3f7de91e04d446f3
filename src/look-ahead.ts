import { cropOfImage, plainColour, type TransferName } from './colour/index.ts';
import { type Look, lookShares, type OpenSource, smallJpeg } from './frames/index.ts';
import type { CropRequest, RegionPixels, RgbImage } from './model/frame.ts';
import type { Still } from './model/measurement.ts';
import type { Region } from './model/region.ts';
import type { Shift } from './model/shift.ts';
import { chooseAnchors, createTracker, type GreyImage, movedBack, registerLook, smallLook } from './motion/index.ts';
import type { MeasuredCrop } from './read-frames.ts';

/** Still places are chosen from this many looks at least, that reach over half of the run. */
const wideLooks = 3;
const anchorCount = 6;
/** An anchor that is found again in fewer of the looks than this share is none. Chosen: it was grain, not texture. */
const foundAgain = 0.5;
const stillWidth = 480;
/** Pieces of backdrop narrower than this are cut out of whole pictures: small ones have samples of 4 pixels. Chosen: four such samples. */
const narrowBackdrop = 16;

export interface LookRequest {
  readonly source: OpenSource;
  /** Places where nothing to follow the camera by may be looked for. */
  readonly still: readonly Region[];
  readonly measured: readonly MeasuredCrop[];
  /** Pieces of backdrop whose colour is wanted. */
  readonly backdrop: readonly CropRequest[];
  readonly transfer: TransferName;
  /** Room that anchors have for a nudge. */
  readonly marginPixels: number;
  /** Where the camera stood, as far as looks before have told. */
  readonly moves: readonly SeenMove[];
}

/** What was learnt by looking ahead. */
export interface LookedAhead {
  readonly anchors: readonly CropRequest[];
  readonly stills: readonly Still[];
  /** Linear colour of every piece of backdrop in every look. */
  readonly backdrop: readonly (readonly BackdropColour[])[];
  /** By how much the looks lie off the first one, as far as they were recognised, in order of time. */
  readonly moves: readonly SeenMove[];
  /** The first look, small. */
  readonly first: GreyImage;
}

export interface SeenMove {
  readonly timeRunS: number;
  readonly shift: Shift;
}

export type BackdropColour = ReturnType<typeof plainColour>;

interface FrameSize {
  readonly width: number;
  readonly height: number;
}

/** What was cut from one whole picture. */
interface Cut {
  readonly timeRunS: number;
  readonly anchors: readonly RegionPixels[];
  readonly crops: readonly RegionPixels[];
  readonly backdrop: readonly BackdropColour[];
}

/**
 * Looks at a few whole pictures over the run: chooses the anchors that the camera is followed by, lets every reader
 * learn its glare and edges, and keeps small pictures for the report.
 */
export async function lookAhead(request: LookRequest): Promise<LookedAhead> {
  const { source, measured } = request;
  const frame = { width: source.info.width, height: source.info.height };
  const halfRunS = (source.info.durationS ?? 0) / 2;
  const stillsMade: Promise<Omit<Still, 'frame'>>[] = [];
  let encoding: Promise<unknown> = Promise.resolve();
  const cuts: Cut[] = [];
  /** Looks that wait until the anchors are chosen. */
  let waiting: Look[] = [];
  const greys: { timeRunS: number; grey: GreyImage }[] = [];
  const smalls: SmallLook[] = [];
  const moves = movesSince(request.still, frame.width);
  let chosen: readonly CropRequest[] | null = null;
  const cut = (look: Look): void => {
    const regions = cropsOf(look, [...chosen!, ...measured.map(({ crop }) => crop), ...request.backdrop]);
    const [from, to] = [chosen!.length, chosen!.length + measured.length];
    const backdrop = regions.slice(to).map((piece) => plainColour(piece, request.transfer));
    cuts.push({ timeRunS: look.timeRunS, anchors: regions.slice(0, from), crops: regions.slice(from, to), backdrop });
  };
  const choose = (): void => {
    greys.sort((first, second) => first.timeRunS - second.timeRunS);
    const pictures = [greys[0]!, greys[greys.length >> 1]!, greys.at(-1)!].map(({ grey }) => grey);
    chosen = chooseAnchors(pictures, request.still, anchorCount, { marginPixels: request.marginPixels, frame });
    waiting.forEach(cut);
    waiting = [];
    greys.length = 0;
  };
  const narrow = request.backdrop.some(({ width, height }) => Math.min(width, height) < narrowBackdrop);
  const small = narrow ? undefined : measured.map(({ crop }) => crop);
  for await (const look of source.looks(lookShares, small)) {
    // one after another: each that is encoded beside others takes threads with memory of their own
    const thumbnail = look.thumbnail(stillWidth);
    const still = encoding.then(() => stillOf(look.timeRunS, thumbnail, source.info));
    encoding = still.catch(() => undefined); // told when all are waited for
    stillsMade.push(still);
    const { timeRunS } = look;
    const whole = look.lightness();
    const small = { timeRunS, grey: smallLook(whole) };
    smalls.push(small);
    // at once, while the next picture is being decoded; nearly always the first to come is the first of the run
    moves.from(smalls[0]!, small);
    if (chosen === null) {
      waiting.push(look);
      const move = request.moves.find((one) => one.timeRunS === timeRunS)?.shift;
      const side = look.pixelsPerSample;
      greys.push({ timeRunS, grey: movedBack(whole, (move?.dx ?? 0) / side, (move?.dy ?? 0) / side) });
      if (waiting.length >= wideLooks && look.timeRunS >= halfRunS) choose();
    } else cut(look);
  }
  if (chosen === null) choose();
  cuts.sort((first, second) => first.timeRunS - second.timeRunS);
  const stills = (await Promise.all(stillsMade)).sort((first, second) => first.timeRunS - second.timeRunS);
  const found = foundAnchors(cuts, frame);
  learn(cuts, found, measured, frame);
  const anchors = chosen!.filter((_, at) => found[at]).map((crop, index) => ({ ...crop, id: `anchor ${index + 1}` }));
  smalls.sort((first, second) => first.timeRunS - second.timeRunS);
  const first = smalls[0]!;
  const backdrop = request.backdrop.map((_, piece) => cuts.map((one) => one.backdrop[piece]!));
  return {
    ...{ backdrop, anchors, stills: stills.map((still, at) => ({ ...still, frame: at })), first: first.grey },
    moves: smalls.slice(1).flatMap((small) => moves.from(first, small) ?? []),
  };
}

interface SmallLook {
  readonly timeRunS: number;
  readonly grey: GreyImage;
}

/** Moves between looks, each worked out once. */
function movesSince(
  still: readonly Region[],
  frameWidth: number,
): { from(first: SmallLook, look: SmallLook): SeenMove | null } {
  const known = new Map<SmallLook, { readonly first: SmallLook; readonly move: SeenMove | null }>();
  return {
    from(first, look) {
      if (first === look) return null;
      const before = known.get(look);
      if (before?.first === first) return before.move;
      const shift = registerLook(first.grey, look.grey, still, frameWidth);
      const move = shift === null ? null : { timeRunS: look.timeRunS, shift };
      known.set(look, { first, move });
      return move;
    },
  };
}

/** Which anchors are found again in the looks by themselves; all, where none is. */
function foundAnchors(cuts: readonly Cut[], frame: FrameSize): readonly boolean[] {
  const found = cuts[0]!.anchors.map((_, at) => {
    const tracker = createTracker([cuts[0]!.anchors[at]!], frame);
    const again = cuts.slice(1).filter(({ anchors }) => tracker.track([anchors[at]!]).confidence > 0);
    return tracker.anchors > 0 && again.length >= foundAgain * (cuts.length - 1);
  });
  return found.includes(true) ? found : found.map(() => true);
}

function learn(
  cuts: readonly Cut[],
  found: readonly boolean[],
  measured: readonly MeasuredCrop[],
  frame: FrameSize,
): void {
  const usable = (anchors: readonly RegionPixels[]): readonly RegionPixels[] => anchors.filter((_, at) => found[at]);
  const followed = createTracker(usable(cuts[0]!.anchors), frame);
  for (const { anchors, crops } of cuts) {
    const shift = followed.anchors === 0 ? undefined : followed.track(usable(anchors));
    measured.forEach(({ reader }, place) => reader.learn(crops[place]!, shift));
  }
}

function cropsOf(look: Look, crops: readonly CropRequest[]): readonly RegionPixels[] {
  const regions = look.regions(crops);
  if (regions !== null) return regions;
  const image = look.image();
  return crops.map((crop) => cropOfImage(image, crop));
}

async function stillOf(timeRunS: number, thumbnail: RgbImage, frame: FrameSize): Promise<Omit<Still, 'frame'>> {
  const width = Math.min(stillWidth, frame.width);
  const jpeg = await smallJpeg(thumbnail, stillWidth);
  const height = Math.round((frame.height * width) / frame.width);
  return { timeRunS, width, height, jpegBase64: Buffer.from(jpeg).toString('base64') };
}
