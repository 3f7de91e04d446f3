import { cropOfImage } from './colour/index.ts';
import { smallJpeg, type OpenSource } from './frames/index.ts';
import type { CropRequest, RgbImage } from './model/frame.ts';
import type { Still } from './model/measurement.ts';
import type { Region } from './model/region.ts';
import { chooseAnchors, createTracker, greyOfImage } from './motion/index.ts';
import type { MeasuredCrop } from './read-frames.ts';

/** Pictures looked at before measuring: enough to tell lasting glare from colour; a few of them go into the report. Chosen. */
const lookCount = 8;
/** Looks from which still places are chosen: first, middle, last. */
const anchorLooks: readonly number[] = [0, lookCount >> 1, lookCount - 1];
/** Looks taken at once; each is a decoder of its own, and a whole picture in memory. Chosen for two cores. */
const atOnce = 2;
const anchorCount = 6;
const stillWidth = 480;

export interface LookRequest {
  readonly source: OpenSource;
  /** Places where nothing to follow the camera by may be looked for. */
  readonly still: readonly Region[];
  readonly measured: readonly MeasuredCrop[];
}

/** What was cut from one whole picture. */
interface Look {
  readonly timeRunS: number;
  readonly anchors: readonly ReturnType<typeof cropOfImage>[];
  readonly crops: readonly ReturnType<typeof cropOfImage>[];
  readonly still: Still;
}

/**
 * Looks at a few whole pictures over the run: chooses the anchors that the camera is followed by, lets every reader
 * learn its glare and edges, and keeps small pictures for the report. No more than three whole pictures are in memory.
 */
export async function lookAhead(
  request: LookRequest,
): Promise<{ readonly anchors: readonly CropRequest[]; readonly stills: readonly Still[] }> {
  const { source, measured } = request;
  const duration = source.info.durationS ?? 0;
  const seen = new Set<number>();
  let failure: unknown = null;
  const take = async (look: number): Promise<{ look: number; image: RgbImage; timeRunS: number } | null> => {
    try {
      const taken = await source.still((duration * look) / (lookCount - 1));
      if (seen.has(taken.timeRunS)) return null;
      seen.add(taken.timeRunS);
      return { look, ...taken };
    } catch (error) {
      failure ??= error; // a broken picture among good ones; the frames tell of it by name
      return null;
    }
  };
  const present = <T>(values: readonly (T | null)[]): T[] => values.filter((value): value is T => value !== null);
  const first = await limited(anchorLooks, take);
  const wide = present(first);
  const rest = Array.from({ length: lookCount }, (_, look) => look).filter((look) => !anchorLooks.includes(look));
  if (wide.length === 0) {
    for (const look of rest) if (wide.length === 0) wide.push(...present([await take(look)]));
  }
  if (wide.length === 0) throw failure;
  const greys = anchorGreys(wide.map(({ image }) => image));
  const anchors = chooseAnchors(greys, request.still, anchorCount).map((crop, index) => ({
    ...crop,
    id: `anchor ${index + 1}`,
  }));
  const cut = async (image: RgbImage, timeRunS: number): Promise<Look> => ({
    timeRunS,
    anchors: anchors.map((anchor) => cropOfImage(image, anchor)),
    crops: measured.map(({ crop }) => cropOfImage(image, crop)),
    still: await stillOf(image, timeRunS),
  });
  const looks: Look[] = [];
  for (let next = wide.shift(); next !== undefined; next = wide.shift()) {
    looks.push(await cut(next.image, next.timeRunS));
  }
  const more = await limited(rest, async (look) => {
    const taken = await take(look);
    return taken === null ? null : cut(taken.image, taken.timeRunS);
  });
  looks.push(...present(more));
  looks.sort((a, b) => a.timeRunS - b.timeRunS);
  learn(looks, measured, { width: source.info.width, height: source.info.height });
  return { anchors, stills: looks.map(({ still }, frame) => ({ ...still, frame })) };
}

/** First, middle and last look as grey; a look that could not be had is stood in for by its neighbour. */
function anchorGreys(images: readonly RgbImage[]): ReturnType<typeof greyOfImage>[] {
  const greys = images.map(greyOfImage);
  return [greys[0]!, greys[greys.length >> 1]!, greys[greys.length - 1]!];
}

/** Results in the order of `items`, at most {@link atOnce} at a time. */
async function limited<T, R>(items: readonly T[], work: (item: T) => Promise<R>): Promise<R[]> {
  const results: R[] = [];
  let next = 0;
  const worker = async (): Promise<void> => {
    while (next < items.length) {
      const at = next++;
      results[at] = await work(items[at]!);
    }
  };
  await Promise.all(Array.from({ length: atOnce }, worker));
  return results;
}

function learn(
  looks: readonly Look[],
  measured: readonly MeasuredCrop[],
  frame: { readonly width: number; readonly height: number },
): void {
  const followed = createTracker(looks[0]!.anchors, frame);
  for (const { anchors, crops } of looks) {
    const shift = followed.anchors === 0 ? undefined : followed.track(anchors);
    measured.forEach(({ reader }, place) => reader.learn(crops[place]!, shift));
  }
}

async function stillOf(image: RgbImage, timeRunS: number): Promise<Still> {
  const width = Math.min(stillWidth, image.width);
  const jpeg = await smallJpeg(image, stillWidth);
  return {
    frame: 0,
    timeRunS,
    width,
    height: Math.round((image.height * width) / image.width),
    jpegBase64: Buffer.from(jpeg).toString('base64'),
  };
}
