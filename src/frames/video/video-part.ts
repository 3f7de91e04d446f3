import { open as openFile } from 'node:fs/promises';
import path from 'node:path';
import { UserError } from '../../errors.ts';
import { ffmpegVersion } from '../find-ffmpeg.ts';
import type { Note } from '../note.ts';
import { pixelFormat, type PixelFormat } from '../pixel-format.ts';
import { uprightSize } from '../upright.ts';
import { chooseConversion, type ChosenConversion } from './choose-conversion.ts';
import { type ProbeAnswer, probeVideo, type VideoFacts } from './probe-video.ts';
import { type PacketIndex, scanPackets } from './scan-packets.ts';

/** One film file, looked into but not decoded. */
export interface VideoPart {
  readonly file: string;
  /** As the user knows it. */
  readonly shown: string;
  readonly program: string;
  readonly version: string;
  readonly facts: VideoFacts;
  readonly format: PixelFormat;
  readonly chosen: ChosenConversion;
  readonly width: number;
  readonly height: number;
  /** Presentation times, seconds from the first frame; `null` when the container has no usable ones. */
  readonly times: readonly number[] | null;
  /** Container time of the first frame, seconds. */
  readonly originS: number;
  readonly keyFrames: readonly number[];
  /** Usual distance of two frames, seconds of playback. */
  readonly frameS: number;
  readonly notes: readonly Note[];
}

/**
 * Looks into a film: tags, size, packet times.
 * @throws UserError `video-…` naming what is wrong with the file.
 */
export async function openVideoPart(program: string, file: string, shown: string): Promise<VideoPart> {
  const answer = await probeVideo(program, file);
  if (answer.kind !== 'video') throw unreadable(answer, await startsLikeMp4(file), shown);
  const { facts } = answer;
  const format = pixelFormat(facts.pixelFormat) ?? nearestFormat(facts.pixelFormat);
  const chosen = chooseConversion(facts, format, shown);
  const index = await scanPackets(program, file, facts.streamIndex);
  const timed = index.pts.length > 0 && index.untimed === 0 && index.tickS > 0;
  if (index.pts.length === 0 && index.untimed === 0) {
    throw new UserError({ code: 'video-empty', file: shown, message: 'the film holds no picture', hint: breakHint });
  }
  const originS = timed ? index.pts[0]! * index.tickS : 0;
  const times = timed ? index.pts.map((ticks) => (ticks - index.pts[0]!) * index.tickS) : null;
  const frameS = usualDistance(times, facts);
  return {
    ...{ file, shown, program, version: await ffmpegVersion(program), facts, format, chosen },
    ...uprightSize(facts.storedWidth, facts.storedHeight, facts.rotation),
    ...{ times, originS, keyFrames: index.keyFrames, frameS },
    notes: [...chosen.notes, ...indexNotes(index, times, facts, frameS, shown)],
  };
}

/** Whether the first box is one an MP4 or QuickTime file starts with: ffmpeg also tries noise named `.mp4` as one. */
async function startsLikeMp4(file: string): Promise<boolean> {
  const handle = await openFile(file);
  try {
    const { buffer } = await handle.read(Buffer.alloc(8), 0, 8, 0);
    return /^(ftyp|mdat|moov|wide|free|skip|pnot)$/.test(buffer.toString('latin1', 4, 8));
  } finally {
    await handle.close();
  }
}

const breakHint =
  'if the camera lost power while filming, the last file is often lost; copy the card again, or use the files before it';

function unreadable(answer: Exclude<ProbeAnswer, { kind: 'video' }>, mp4: boolean, shown: string): UserError {
  if (answer.kind === 'no-video') {
    return new UserError({
      code: 'video-no-picture',
      file: shown,
      message: answer.audio ? 'the file holds sound only, no picture' : 'the file holds no video',
      hint: 'give the film itself',
    });
  }
  if (mp4 && answer.reason === 'moov atom not found') {
    return new UserError({
      code: 'video-index-missing',
      file: shown,
      message:
        'the film was never finished (a power cut, or a card pulled out while filming): its index is missing, and without it the pictures cannot be found',
      hint: 'put the card back into the camera and switch it on (many cameras repair the last film), or repair a copy with a tool that borrows the index from an intact film of the same camera and settings; set the camera to short files or to stills so that a cut costs less',
    });
  }
  return new UserError({
    code: 'video-unreadable',
    file: shown,
    message: 'ffmpeg cannot read this file as a film',
    expected: 'a film, a folder of pictures or a list of pictures',
    got: answer.reason === '' ? 'no known format' : answer.reason,
    hint: 'check that the file was copied whole and plays',
  });
}

/** Formats we do not read ourselves are turned by ffmpeg into the nearest one that loses nothing. */
function nearestFormat(name: string): PixelFormat {
  if (/^(nv12|nv21|yuv410p|yuv411p)$/.test(name)) return pixelFormat('yuv420p')!;
  if (/^p010/.test(name)) return pixelFormat('yuv420p10le')!;
  if (/^(yuv440p|yuva444p)/.test(name)) return pixelFormat('yuv444p')!;
  if (/^yuva420p$/.test(name)) return pixelFormat('yuv420p')!;
  if (/^yuva?4[24]\dp1/.test(name)) return pixelFormat('yuv444p12le')!;
  if (/^(yuyv422|uyvy422|yuva422p)/.test(name)) return pixelFormat('yuv422p')!;
  if (/^(gray|ya)/.test(name)) return pixelFormat(/1[0-6]/.test(name) ? 'gray10le' : 'gray')!;
  if (/48|64|gbra?p1/.test(name)) return pixelFormat('gbrp16le')!;
  return pixelFormat('gbrp')!;
}

function usualDistance(times: readonly number[] | null, facts: VideoFacts): number {
  const gaps = (times ?? []).slice(1).map((time, i) => time - times![i]!);
  gaps.sort((a, b) => a - b);
  return gaps[gaps.length >> 1] ?? 1 / (facts.framesPerSecond ?? 25);
}

function indexNotes(
  index: PacketIndex,
  times: readonly number[] | null,
  facts: VideoFacts,
  frameS: number,
  shown: string,
): Note[] {
  const notes: Note[] = [];
  if (times === null) {
    notes.push({
      code: 'times-missing',
      severity: 'warn',
      message: `${shown}: the container gives no time for some frames; they are taken as evenly spaced at its frame rate.`,
    });
  }
  const lastS = (times?.at(-1) ?? 0) + frameS;
  if (
    times !== null &&
    facts.durationS !== null &&
    facts.durationS - lastS > Math.max(0.25, 3 * frameS, 0.02 * facts.durationS)
  ) {
    notes.push({
      code: 'video-breaks-off',
      severity: 'warn',
      message: `${shown}: the film breaks off: the container promises ${facts.durationS.toFixed(1)} s of playback, pictures are there for ${lastS.toFixed(1)} s. What is there is read.`,
    });
  } else if (index.complaints !== '') {
    notes.push({
      code: 'video-damaged',
      severity: 'warn',
      message: `${shown}: the file is damaged (${path.basename(index.complaints.split('\n')[0]!).slice(0, 160)}).`,
    });
  }
  return notes;
}
