import { open } from 'node:fs/promises';
import { UserError } from '../../errors.ts';
import type { ProbeAnswer } from './probe-video.ts';

/** What to do about a film that a cut has spoilt. */
export const breakHint =
  'if the camera lost power while filming, the last file is often lost; copy the card again, or use the files before it';

/** What a file is that only its name makes a film, by its first bytes; what to do. */
const pretenders: readonly (readonly [begins: RegExp, what: string, hint: string])[] = [
  [/^PK\x03\x04/, 'a ZIP archive', 'unpack it and give the film that is in it'],
  [/^(Rar!|7z\xbc\xaf|\x1f\x8b)/, 'a packed archive', 'unpack it and give the film that is in it'],
  [/^\s*<(!doctype|html|\?xml)/i, 'a web page', 'the download failed or needs a login: fetch the film itself'],
  [/^%PDF/, 'a PDF document', 'give the film itself'],
  [/^[^]{257}ustar/, 'a TAR archive', 'unpack it and give the film that is in it'],
];

/** The one message about a file that is no film, or none that ffmpeg reads. */
export async function unreadableFilm(
  answer: Exclude<ProbeAnswer, { kind: 'video' }>,
  file: string,
  shown: string,
): Promise<UserError> {
  const head = await firstBytes(file, 512);
  const pretender = pretenders.find(([begins]) => begins.test(head));
  if (pretender !== undefined && answer.kind !== 'no-video') {
    const [, what, hint] = pretender;
    return new UserError({ code: 'video-unreadable', file: shown, message: `this is ${what}, not a film`, hint });
  }

  if (answer.kind === 'no-video') {
    return new UserError({
      code: 'video-no-picture',
      file: shown,
      message: answer.audio ? 'the file holds sound only, no picture' : 'the file holds no video',
      hint: 'give the film itself',
    });
  }
  return new UserError({
    code: 'video-unreadable',
    file: shown,
    message: 'ffmpeg cannot read this file as a film',
    expected: 'a film, a folder of pictures or a list of pictures',
    // ffmpeg takes the name's word for an MP4, and misses its index in anything.
    got: /^(|moov atom not found)$/.test(answer.reason) ? 'no known format' : answer.reason,
    hint: 'check that the file was copied whole and plays',
  });
}

/** Measured on a rack saved as a GIF: an extent of 0.88 came out as 0.66. */
export const paletteFilm = (shown: string): UserError =>
  new UserError({
    code: 'video-palette',
    file: shown,
    message: 'the film has at most 256 colours (a GIF, or another one with a palette), which are not its true ones',
    hint: 'give the film or the pictures that it was made from',
  });

/** Whether this is an MP4 or QuickTime film without its index. */
export async function lacksIndex(answer: ProbeAnswer, file: string): Promise<boolean> {
  return answer.kind === 'unreadable' && answer.reason === 'moov atom not found' && (await startsLikeMp4(file));
}

/** Whether the first box is one an MP4 or QuickTime file starts with: ffmpeg also tries noise named `.mp4` as one. */
async function startsLikeMp4(file: string): Promise<boolean> {
  return /^[^]{4}(ftyp|mdat|moov|wide|free|skip|pnot)/.test(await firstBytes(file, 8));
}

/** A character a byte. */
async function firstBytes(file: string, length: number): Promise<string> {
  const handle = await open(file);
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(length), 0, length, 0);
    return buffer.toString('latin1', 0, bytesRead);
  } finally {
    await handle.close();
  }
}
