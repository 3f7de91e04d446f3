import type { Timing } from '../../model/run.ts';
import type { Note } from '../note.ts';
import { type Change, type HeldPattern, heldPattern, repeatsBy } from './held-pattern.ts';
import { pictureChanges } from './picture-changes.ts';
import type { VideoPart } from './video-part.ts';

/** What is known of frames that show the picture before once more. */
export interface Held {
  /** `null`: here and there only. */
  readonly pattern: HeldPattern | null;
  /** Their positions, where the file itself tells; `null`: the pictures must be compared. */
  readonly positions: readonly number[] | null;
}

/** Frames looked at, at most, and new pictures among them after which enough was seen. Chosen: repeats decode quickly. */
const mostFrames = 600;
const enoughNew = 16;
/** A coded picture smaller than this share of the average one may be a repeat; where this share of them is so small, pictures are compared. Measured: 0.27 to 0.91 of a film that holds its pictures, none of others but starved ones. */
const smallPicture = 0.2;
const manySmall = 0.2;

/** Finds out whether a film shows pictures more than once, as far as a look at one stretch tells. `null`: no. */
export async function findHeld(part: VideoPart): Promise<Held | null> {
  const { times, packets, keyFrames } = part;
  if (times === null || packets === null) return null;
  if (keyFrames.length === times.length) {
    // Every picture stands for itself: equal bytes are equal pictures.
    const positions = packets.same.filter((position) => position < times.length);
    if (positions.length === 0) return null;
    const repeats = new Set(positions);
    const changes = times.slice(1).map((_, at) => ({ position: at + 1, ...(repeats.has(at + 1) ? still : moved) }));
    return { pattern: heldPattern(changes, new Set()), positions };
  }
  const average = packets.bytes.reduce((sum, bytes) => sum + bytes, 0) / packets.bytes.length;
  const small = packets.bytes.filter((bytes) => bytes < smallPicture * average).length;
  // Without loss every picture takes its room.
  if (small < manySmall * packets.bytes.length && part.facts.codec !== 'ffv1') return null;
  const pattern = await patternOfStretch(part);
  return pattern === null ? null : { pattern, positions: null };
}

const still = { mean: 0, most: 0 };
const moved = { mean: 1, most: 1 };

async function patternOfStretch(part: VideoPart): Promise<HeldPattern | null> {
  const { keyFrames, times } = part;
  const keys = new Set(keyFrames);
  // Hands and lids are at the beginning; but a short film is all there is.
  const from = keyFrames.findLast((key) => key <= times!.length / 3) ?? 0;
  const changes: Change[] = [];
  let highest = 0;
  for await (const change of pictureChanges(part, { from, to: Math.min(times!.length, from + mostFrames) })) {
    changes.push(change);
    highest = Math.max(highest, Number.isFinite(change.mean) ? change.mean : 0);
    const large = changes.filter(({ mean }) => mean > highest / 4).length;
    if (large >= enoughNew && changes.length >= 3 * enoughNew) break;
  }
  return heldPattern(changes, keys);
}

/** Positions up to `end` whose pictures repeat the one before. */
export async function repeatedPositions(
  part: VideoPart,
  held: Held,
  { end, signal }: { readonly end: number; readonly signal?: AbortSignal | undefined },
): Promise<ReadonlySet<number>> {
  if (held.positions !== null) return new Set(held.positions);
  const changes: Change[] = [];
  for await (const change of pictureChanges(part, { from: 0, to: end, signal })) changes.push(change);
  return repeatsBy(held.pattern!, changes, new Set(part.keyFrames));
}

/** What the user should know of it: above all that `interval_s` counts frames of the film. */
export function heldNote({ shown, times }: VideoPart, { pattern, positions }: Held, timing: Timing): Note {
  if (pattern === null) {
    const count = positions!.length;
    const [repeat, are, keeps] = count === 1 ? ['repeats', 'is', 'it keeps'] : ['repeat', 'are', 'each keeps'];
    const message = `${shown}: ${count} of ${times!.length} frames ${repeat} the one before byte for byte and ${are} not used; ${keeps} its place in time.`;
    return { code: 'frames-repeated', severity: 'info', message };
  }
  const { framesEach } = pattern;
  const whole = Number.isInteger(framesEach);
  const frames = whole
    ? `${framesEach} frames`
    : `${Math.floor(framesEach)} or ${Math.ceil(framesEach)} frames (${framesEach.toFixed(2)} on average)`;
  const seen = `${shown}: the film shows each picture for ${frames}. Repeats are no measurements of their own and are left out.`;
  if (timing.kind !== 'interval') return { code: 'pictures-held', severity: 'info', message: seen };
  const { intervalS } = timing;
  // Containers round single times, to a millisecond or so.
  const frameS = times!.at(-1)! / (times!.length - 1);
  const rounded = (value: number, digits = 5): number => Number(value.toPrecision(digits));
  const about = whole ? '' : 'about ';
  const digits = whole ? 5 : 3;
  const message = `${seen} interval_s counts frames of the film: pictures are then ${about}${rounded(intervalS * framesEach, digits)} s apart. If they were taken every ${intervalS} s, give ${about}"timing: { interval_s: ${rounded(intervalS / framesEach, digits)} }"; if the times are right as they are, "timing: { speed: ${rounded(intervalS / frameS)} }" gives the same ones without this doubt.`;
  return { code: 'pictures-held', severity: 'warn', message };
}
