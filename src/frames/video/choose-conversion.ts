import { UserError } from '../../errors.ts';
import type { Note } from '../note.ts';
import type { PixelFormat } from '../pixel-format.ts';
import type { MatrixName } from '../ycbcr.ts';
import type { Conversion } from './convert-planes.ts';
import type { VideoFacts } from './probe-video.ts';

export interface ChosenConversion {
  readonly conversion: Conversion;
  /** For SourceInfo.conversion. */
  readonly described: string;
  readonly transferTag: string | null;
  readonly notes: readonly Note[];
}

/** ffmpeg's names of ITU-T H.273 matrix coefficients. */
const matrices: Readonly<Record<string, MatrixName>> = {
  bt709: 'bt709',
  smpte170m: 'bt601',
  bt470bg: 'bt601',
  fcc: 'bt601',
  bt2020nc: 'bt2020',
  bt2020c: 'bt2020',
  gbr: 'rgb',
};
const transfers: Readonly<Record<string, string>> = {
  'iec61966-2-1': 'srgb',
  bt709: 'bt709',
  smpte170m: 'bt709',
  'bt2020-10': 'bt709',
  'bt2020-12': 'bt709',
  'arib-std-b67': 'hlg',
  smpte2084: 'pq',
  linear: 'linear',
};

/** Lines from which an untagged film is taken for high definition: the convention of players. */
const highDefinitionLines = 720;

/** Decides by the file's tags how Y'CbCr becomes R'G'B', and says what had to be assumed. */
export function chooseConversion(facts: VideoFacts, format: PixelFormat, file: string): ChosenConversion {
  const transferTag = facts.transferTag === null ? null : (transfers[facts.transferTag] ?? facts.transferTag);
  if (transferTag === 'hlg' || transferTag === 'pq') {
    throw new UserError({
      code: 'hdr-video',
      file,
      message: `the film is high dynamic range (${transferTag === 'hlg' ? 'HLG' : 'PQ'}), which is not read yet`,
      hint: 'switch HDR off in the camera (a setting such as "HDR video" or "10-bit HLG"), or convert the film to SDR first',
    });
  }
  if (format.model === 'rgb') {
    return {
      conversion: { matrix: 'rgb', range: 'full' },
      described: 'R G B as stored',
      ...{ transferTag, notes: [] },
    };
  }
  const notes: Note[] = [];
  const tagged = facts.matrixTag === null ? undefined : matrices[facts.matrixTag];
  const jpeg = facts.codec === 'mjpeg';
  const assumed: MatrixName = jpeg || facts.storedHeight < highDefinitionLines ? 'bt601' : 'bt709';
  const matrix = tagged === undefined || tagged === 'rgb' ? assumed : tagged;
  const range = format.impliesFull ? 'full' : (facts.rangeTag ?? 'limited');
  if (tagged === undefined && !jpeg) {
    const why = matrix === 'bt601' ? 'fewer than 720 lines' : '720 lines or more';
    notes.push({
      code: 'matrix-assumed',
      severity: 'warn',
      message: `${file}: the film does not say which colour matrix it was made with (tag ${facts.matrixTag ?? 'absent'}); ${label(matrix)} was assumed from its size (${why}). If that is wrong, colours are shifted in the same way in all vials and frames; a film with tags avoids the doubt.`,
    });
  }
  if (facts.rangeTag === null && !format.impliesFull) {
    notes.push({
      code: 'range-assumed',
      severity: 'info',
      message: `${file}: the film does not say its range; limited range was assumed, as usual for video.`,
    });
  }
  const how = tagged === undefined && !jpeg ? 'assumed' : jpeg && tagged === undefined ? 'by format' : 'tagged';
  return { conversion: { matrix, range }, described: `${label(matrix)} ${range} range (${how})`, transferTag, notes };
}

function label(matrix: MatrixName): string {
  return matrix === 'rgb' ? 'RGB' : matrix.replace('bt', 'BT.');
}
