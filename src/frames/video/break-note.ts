import { stat } from 'node:fs/promises';
import type { Note } from '../note.ts';
import { endOfStream, type StreamEnd } from './broken-tail.ts';
import { endsEarly } from './container-end.ts';
import { planCrops } from './crop-plan.ts';
import { isStreamCodec, streamKinds, tailOfFile, tailOfPackets } from './stream-tail.ts';
import { complaintLead, nextPicture, startStretch } from './stretch.ts';
import type { VideoPart } from './video-part.ts';

/**
 * Tells where a film breaks off: by the lengths in the container, by what ffmpeg says, by the duration that the container
 * promises, or, where it has neither (transport streams), by the film's last pictures. Pictures behind a hole at the
 * broken end are left out.
 */
export async function withBreakTold(part: VideoPart): Promise<VideoPart> {
  const broken = part.salvaged === null ? await brokenPictures(part) : null;
  if (broken === null) return part;
  const kept = part.times?.slice(0, Math.max(1, part.times.length - broken)) ?? null;
  const times = kept === null ? null : kept.slice(0, beforeHole(kept, part.frameS));
  const count = times === null && part.packetCount !== null ? Math.max(1, part.packetCount - broken) : null;
  // What ffmpeg complained of is the broken end; damage elsewhere is told frame by frame.
  const others = part.notes.filter(({ code }) => code !== 'video-damaged');
  const keyFrames = part.keyFrames.filter((key) => times === null || key < times.length);
  return { ...part, times, keyFrames, endsAt: count, notes: [...others, breakNote(part, times)] };
}

function breakNote(part: VideoPart, times: readonly number[] | null): Note {
  const count = times === null ? '' : ` (${times.length} ${times.length === 1 ? 'picture' : 'pictures'})`;
  const promised = missesPromise(part)
    ? `: the container promises ${part.facts.durationS!.toFixed(1)} s of playback, pictures are there for ${lastedS(part).toFixed(1)} s`
    : ': the file ends in the middle of it';
  const message = `${part.shown}: the film breaks off${promised} (a power cut, a full card, or a copy that was cut short). What is there${count} is read as far as it is whole.`;
  return { code: 'video-breaks-off', severity: 'warn', message };
}

/** Pictures at the end that are there in part and of which no decoder tells; `null`: the film does not break off. */
async function brokenPictures(part: VideoPart): Promise<number | null> {
  const { file, facts, times } = part;
  if (part.endsAbruptly) return 0;
  if (await endsInTapePicture(part)) return 1;
  const byLengths = await endsEarly(file, facts.container);
  if (byLengths === false) return null;
  const ofStream = await streamEnd(part);
  // A promise counts only where there are no lengths: a film trimmed without encoding it anew promises what was trimmed off.
  const told = byLengths === true || ofStream?.broken === true || missesPromise(part);
  if (told) return ofStream?.untold ?? 0;
  // Without times nothing can be sought, and the whole film would have to be decoded.
  // Of HEVC the stream alone tells: seeking misses the open groups of its transport streams.
  const seekable = times !== null && ofStream === null && facts.codec !== 'hevc';
  return seekable && (await tailBroken(part)) ? 0 : null;
}

/** The end by its coded pictures: in bare streams, and of HEVC, whose decoder does not complain. `null`: not looked at. */
async function streamEnd({ program, file, facts, times, version }: VideoPart): Promise<StreamEnd | null> {
  const { codec, container } = facts;
  if (!isStreamCodec(codec)) return null;
  let tail: Buffer | null = null;
  if (container === streamKinds[codec].format) tail = await tailOfFile(file, codec);
  else if (codec === 'hevc' && times !== null && (container === 'mpegts' || container === 'mpeg'))
    tail = await tailOfPackets(program, file, { container, codec });
  return tail === null ? null : await endOfStream({ program, version }, tail, codec);
}

/** All pictures of a digital tape (DV) take the same room; ffmpeg makes a picture of a part of one. */
async function endsInTapePicture({ facts, packets, file }: VideoPart): Promise<boolean> {
  const bytes = packets?.bytes[0] ?? 0;
  return facts.container === 'dv' && bytes > 0 && (await stat(file)).size % bytes !== 0;
}

/** Whether the duration that the container promises is much longer than what is there. */
function missesPromise(part: VideoPart): boolean {
  const { durationS } = part.facts;
  const { times, frameS } = part;
  if (times === null || durationS === null) return false;
  return durationS - lastedS(part) > Math.max(0.25, 3 * frameS, 0.02 * durationS);
}

function lastedS({ times, frameS, originS, facts }: VideoPart): number {
  // Matroska counts its duration from its own zero, where the first picture need not be.
  const beginS = /\bmatroska\b/.test(facts.container) ? Math.max(0, originS) : 0;
  return beginS + (times?.at(-1) ?? 0) + frameS;
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
  for (const from of new Set([part.keyFrames.at(-1) ?? 0, part.keyFrames.at(-2) ?? 0, 0])) {
    const sound = await soundTo(part, from);
    if (sound !== null) return sound < part.times!.length;
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
