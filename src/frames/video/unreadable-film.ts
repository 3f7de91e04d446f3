import { open } from 'node:fs/promises';
import { UserError } from '../../errors.ts';
import type { ProbeAnswer } from './probe-video.ts';

/** What to do about a film that a cut has spoilt. */
export const breakHint =
  'if the camera lost power while filming, the last file is often lost; copy the card again, or use the files before it';

/** The one message about a file that is no film, or none that ffmpeg reads. */
export function unreadableFilm(answer: Exclude<ProbeAnswer, { kind: 'video' }>, shown: string): UserError {
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
    got: answer.reason === '' ? 'no known format' : answer.reason,
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
  const handle = await open(file);
  try {
    const { buffer } = await handle.read(Buffer.alloc(8), 0, 8, 0);
    return /^(ftyp|mdat|moov|wide|free|skip|pnot)$/.test(buffer.toString('latin1', 4, 8));
  } finally {
    await handle.close();
  }
}
