import path from 'node:path';
import { UserError } from '../../errors.ts';
import { ffmpegVersion } from '../find-ffmpeg.ts';
import type { Note } from '../note.ts';
import { pixelFormat, type PixelFormat } from '../pixel-format.ts';
import type { SalvagedFilm } from '../salvage/salvage-film.ts';
import { uprightSize } from '../upright.ts';
import { chooseConversion, type ChosenConversion } from './choose-conversion.ts';
import type { Held } from './held-pictures.ts';
import { type Lender, openSalvaged } from './open-salvaged.ts';
import { probeVideo, type VideoFacts } from './probe-video.ts';
import { type PacketIndex, scanPackets } from './scan-packets.ts';
import { breakHint, lacksIndex, paletteFilm, unreadableFilm } from './unreadable-film.ts';

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
  /** Reading the packets, ffmpeg met the end of the file inside one. */
  readonly endsAbruptly: boolean;
  /** Nothing tells `frameS`: times count frames only. */
  readonly rateUnknown: boolean;
  /** Coded pictures, where they have no times; else `null`. */
  readonly packetCount: number | null;
  /** Of a film without times: pictures from this position on are there in part only; `null`: none. */
  readonly endsAt: number | null;
  /** Sizes of the coded pictures, and those equal to the one before; `null` unknown. */
  readonly packets: Pick<PacketIndex, 'bytes' | 'same'> | null;
  /** Frames that show the picture before once more; `null`: none known. */
  readonly held: Held | null;
  /** A film without its index, read through a pipe; `null`: a film as it should be. */
  readonly salvaged: SalvagedFilm | null;
  /** Files read beside the film itself. */
  readonly alsoRead: readonly string[];
  readonly notes: readonly Note[];
}

/**
 * Looks into a film: tags, size, packet times. `lenders`: intact films that may help one without its index.
 * @throws UserError `video-…` naming what is wrong with the file.
 */
export async function openVideoPart(
  program: string,
  file: string,
  shown: string,
  lenders: () => Promise<readonly Lender[]> = () => Promise.resolve([]),
): Promise<VideoPart> {
  const answer = await probeVideo(program, file);
  if (await lacksIndex(answer, file)) return salvagedPart(program, file, shown, await lenders());
  if (answer.kind !== 'video') throw await unreadableFilm(answer, file, shown);
  const { facts } = answer;
  if (facts.codec === 'gif' || facts.pixelFormat === 'pal8') throw paletteFilm(shown);
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
    endsAbruptly: endsInPacket(index),
    ...{ packets: timed ? index : null, held: null, endsAt: null },
    packetCount: timed ? null : index.pts.length + index.untimed,
    ...{ rateUnknown: false, salvaged: null, alsoRead: [] },
    notes: [...chosen.notes, ...indexNotes(index, times, shown)],
  };
}

/** Playback assumed where nothing tells it; only frames are counted then. */
const assumedFrameS = 1 / 25;

async function salvagedPart(
  program: string,
  file: string,
  shown: string,
  lenders: readonly Lender[],
): Promise<VideoPart> {
  const { film, facts, frameS: known, lender, note } = await openSalvaged(program, file, shown, lenders);
  const format = pixelFormat(facts.pixelFormat) ?? nearestFormat(facts.pixelFormat);
  const chosen = chooseConversion(facts, format, shown);
  const frameS = known ?? assumedFrameS;
  return {
    ...{ file, shown, program, version: await ffmpegVersion(program), facts, format, chosen },
    ...uprightSize(facts.storedWidth, facts.storedHeight, facts.rotation),
    ...{ times: Array.from({ length: film.count }, (_, position) => position * frameS), originS: 0 },
    ...{ keyFrames: film.keyFrames, frameS, endsAbruptly: true, rateUnknown: known === null, salvaged: film },
    ...{ packets: { bytes: film.sizes, same: [] }, held: null, packetCount: null, endsAt: null },
    ...{ alsoRead: lender === null ? [] : [lender.file], notes: [...chosen.notes, note] },
  };
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

/** What the readers of MP4 and Matroska say where the file ends inside a packet, and of a bare stream that ends before a picture's first part. */
const endsInPacket = ({ complaints }: PacketIndex): boolean =>
  /partial file|Read error|ended prematurely|missing picture in access unit[^\n]*$/.test(complaints);

/** The first complaint, without the names and addresses of ffmpeg's parts before it. */
const inWords = (complaints: string): string =>
  path
    .basename(complaints.split('\n')[0]!)
    .replaceAll(/\[[^\]]* @ 0x[0-9a-f]+\] */g, '')
    .slice(0, 160);

function indexNotes(index: PacketIndex, times: readonly number[] | null, shown: string): Note[] {
  const notes: Note[] = [];
  if (times === null) {
    notes.push({
      code: 'times-missing',
      severity: 'warn',
      message: `${shown}: the container gives no time for some frames; they are taken as evenly spaced at its frame rate.`,
    });
  }
  if (index.complaints !== '') {
    notes.push({
      code: 'video-damaged',
      severity: 'warn',
      message: `${shown}: the file is damaged (${inWords(index.complaints)}).`,
    });
  }
  return notes;
}
