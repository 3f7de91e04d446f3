import type { Note } from '../note.ts';
import { endsEarly } from './container-end.ts';
import { planCrops } from './crop-plan.ts';
import { complaintLead, nextPicture, startStretch } from './stretch.ts';
import type { VideoPart } from './video-part.ts';

/**
 * Tells where a film breaks off and the promise of its container did not show it: by the lengths in the container, by
 * what ffmpeg says, or, where the container has no lengths (transport streams), by the film's last pictures. Pictures
 * behind a hole at the broken end are left out.
 */
export async function withBreakTold(part: VideoPart): Promise<VideoPart> {
  const told = part.notes.some(({ code }) => code === 'video-breaks-off');
  if (part.salvaged !== null || !(told || (await breaksOff(part)))) return part;
  const times = part.times === null ? null : part.times.slice(0, beforeHole(part.times, part.frameS));
  // What ffmpeg complained of is the broken end; damage elsewhere is told frame by frame.
  const others = part.notes.filter(({ code }) => code !== 'video-damaged');
  const notes = told ? others : [...others, breakNote(part.shown, times)];
  return { ...part, times, keyFrames: part.keyFrames.filter((key) => times === null || key < times.length), notes };
}

function breakNote(shown: string, times: readonly number[] | null): Note {
  const count = times === null ? '' : ` (${times.length} ${times.length === 1 ? 'picture' : 'pictures'})`;
  const message = `${shown}: the film breaks off: the file ends in the middle of it (a power cut, a full card, or a copy that was cut short). What is there${count} is read as far as it is whole.`;
  return { code: 'video-breaks-off', severity: 'warn', message };
}

async function breaksOff(part: VideoPart): Promise<boolean> {
  return part.endsAbruptly || ((await endsEarly(part.file, part.facts.container)) ?? (await tailBroken(part)));
}

/** Pictures that may stand in the file before one that is shown earlier (H.264 and H.265, size of the picture buffer). */
const mostReordered = 16;

/**
 * Pictures up to the first hole near the end: what was lost there would have been shown before some that are there, and
 * `interval_s` counts pictures.
 */
function beforeHole(times: readonly number[], frameS: number): number {
  for (let at = Math.max(1, times.length - mostReordered); at < times.length; at++) {
    if (times[at]! - times[at - 1]! > 1.5 * frameS) return at;
  }
  return times.length;
}

/**
 * Decodes from the last key frame on, or from an earlier one where seeking misses it: whether the last picture is
 * missing or damaged.
 */
async function tailBroken(part: VideoPart): Promise<boolean> {
  // Without times nothing can be sought, and the whole film would have to be decoded.
  if (part.times === null) return false;
  for (const from of new Set([part.keyFrames.at(-1) ?? 0, part.keyFrames.at(-2) ?? 0, 0])) {
    const sound = await soundTo(part, from);
    if (sound !== null) return sound < part.times.length;
  }
  return true;
}

/** Position up to which pictures come, and without damage near the end, from a key frame on; `null`: seeking found none. */
async function soundTo(part: VideoPart, from: number): Promise<number | null> {
  const { storedWidth: width, storedHeight: height, rotation } = part.facts;
  const corner = { id: 'corner', kind: 'anchor' as const, x: 0, y: 0, width: 2, height: 2 };
  const plan = planCrops([corner], { width, height }, part.format, rotation);
  const stretch = startStretch(part, plan, { from, to: Infinity, threads: 2, keyFramesOnly: false });
  try {
    let damagedAt = -Infinity;
    let found = 0;
    for (let next = await nextPicture(part, stretch); next !== null; next = await nextPicture(part, stretch)) {
      stretch.expected = next.position + 1;
      if (next.damaged) damagedAt = next.position;
      found++;
    }
    if (found === 0) return null;
    return damagedAt >= stretch.expected - complaintLead ? damagedAt : stretch.expected;
  } finally {
    await stretch.decoder.close();
  }
}
