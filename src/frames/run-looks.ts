import { UserError } from '../errors.ts';
import type { CropRequest, RegionPixels, RgbImage } from '../model/frame.ts';
import { inOrder } from './in-order.ts';
import { type GreyPicture, lightnessOfImage, type Part, type PartLook } from './part.ts';
import type { PlacedPart } from './timeline.ts';

/** A whole picture of the source, looked at before measuring. */
export interface Look {
  /** Its own time on the run's clock, seconds. */
  readonly timeRunS: number;
  /** Frame pixels along each axis for a pixel of its image and lightness: 1, or more where a small look was asked for. */
  readonly pixelsPerSample: number;
  /** The upright picture in 8 bit; it holds until another look's image is asked for. */
  image(): RgbImage;
  /** A smaller one, pixels averaged, at least `width` wide where the frame is. */
  thumbnail(width: number): RgbImage;
  /** Its lightness, upright. */
  lightness(): GreyPicture;
  /** Crops of it in the form that `frames` gives them; `null`: cut them out of the image. */
  regions(crops: readonly CropRequest[]): readonly RegionPixels[] | null;
}

/** Pictures decoded at once. Chosen for two cores; each is a whole picture in memory. */
const width = 2;

/**
 * Pictures near the given shares (0 first frame, 1 last frame up to `untilRunS`), each once, as near as is quick: a film
 * has them at its key frames. In the order of the shares as far as that is quick; broken pictures are left out.
 * `crops`: what will be cut out of them; where that can be done in smaller pictures, they are small.
 * @throws UserError when no picture could be read.
 */
export async function* runLooks(
  placed: readonly PlacedPart[],
  shares: readonly number[],
  untilRunS: number | null,
  crops: readonly CropRequest[] | null = null,
): AsyncGenerator<Look> {
  const endRunS = Math.min(placed.at(-1)!.endRunS ?? 0, untilRunS ?? Infinity);
  const wanted = new Map<PlacedPart, Set<number>>();
  for (const share of shares) {
    const { place, position } = placeAt(placed, share * endRunS);
    wanted.set(place, (wanted.get(place) ?? new Set()).add(position));
  }
  const failure: { first: unknown } = { first: null };
  const seen = new Set<number>();
  for (const [place, positions] of wanted) {
    try {
      for await (const look of looksOf(place.part, [...positions], crops, failure)) {
        const timeRunS = place.timeRunS(look.position);
        if (timeRunS === null || seen.has(timeRunS)) continue;
        seen.add(timeRunS);
        const { pixelsPerSample, image, thumbnail, lightness, regions } = look;
        yield { timeRunS, pixelsPerSample, image, thumbnail, lightness, regions };
      }
    } catch (error) {
      failure.first ??= error;
    }
  }
  if (seen.size === 0) throw failure.first ?? noPicture(placed);
}

/** The part and the position in it that is shown at a time: the frame at or just before it. */
export function placeAt(
  placed: readonly PlacedPart[],
  timeRunS: number,
): { readonly place: PlacedPart; readonly position: number } {
  const place = placed.findLast((candidate) => (candidate.timeRunS(0) ?? 0) <= timeRunS + 1e-9) ?? placed[0]!;
  let position = 0;
  for (let at = 0; at < (place.part.count ?? 1); at++) {
    const time = place.timeRunS(at);
    if (time !== null && time <= timeRunS + 1e-9) position = at;
  }
  return { place, position };
}

export function noPicture(placed: readonly PlacedPart[]): UserError {
  const file = placed[0]!.part.shown;
  return new UserError({ code: 'no-frames', file, message: 'no picture could be read from the source' });
}

function looksOf(
  part: Part,
  positions: readonly number[],
  crops: readonly CropRequest[] | null,
  failure: { first: unknown },
): AsyncIterable<PartLook> {
  return part.looks?.(positions, crops) ?? stillLooks(part, positions, failure);
}

async function* stillLooks(
  part: Part,
  positions: readonly number[],
  failure: { first: unknown },
): AsyncGenerator<PartLook> {
  const stills = inOrder(positions, width, async (position) => {
    try {
      return await part.still(position);
    } catch (error) {
      failure.first ??= error; // a broken picture among good ones; the frames tell of it by name
      return null;
    }
  });
  for await (const still of stills) {
    if (still === null) continue;
    const { image, position: at } = still;
    yield {
      ...{ position: at, pixelsPerSample: 1 },
      image: () => image,
      thumbnail: () => image,
      lightness: () => lightnessOfImage(image),
      regions: () => null,
    };
  }
}
