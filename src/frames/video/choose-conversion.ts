import { UserError } from '../../errors.ts';
import type { Note } from '../note.ts';
import type { PixelFormat } from '../pixel-format.ts';
import { matrixToSrgb, type WidePrimaries } from '../primaries.ts';
import type { MatrixName } from '../ycbcr.ts';
import type { Conversion } from './coefficients.ts';
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

/** ffmpeg's names of primaries wider than sRGB's (H.273: 9, 12). */
const widePrimaries: Readonly<Record<string, WidePrimaries>> = { bt2020: 'bt2020', smpte432: 'p3' };

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
  const wide = facts.primariesTag === null ? undefined : widePrimaries[facts.primariesTag];
  const primaries = wide === undefined ? {} : { primaries: matrixToSrgb(wide) };
  const from = wide === undefined ? '' : `, ${wide === 'p3' ? 'P3' : 'BT.2020'} primaries to sRGB, unclipped`;
  const notes: Note[] = [];
  if (wide !== undefined) {
    notes.push({
      code: 'primaries-converted',
      severity: 'info',
      message: `${file}: the film has a wider colour space than sRGB (${wide === 'p3' ? 'P3' : 'BT.2020'}); it was converted in linear light, nothing cut off.`,
    });
  }
  if (format.model === 'rgb') {
    return {
      conversion: { matrix: 'rgb', range: 'full', ...primaries },
      described: `R G B as stored${from}`,
      ...{ transferTag, notes },
    };
  }
  const tagged = facts.matrixTag === null ? undefined : matrices[facts.matrixTag];
  const jpeg = facts.codec === 'mjpeg';
  const assumed: MatrixName = jpeg || facts.storedHeight < highDefinitionLines ? 'bt601' : 'bt709';
  const matrix = tagged === undefined || tagged === 'rgb' ? assumed : tagged;
  const range = format.impliesFull ? 'full' : (facts.rangeTag ?? 'limited');
  if (tagged === undefined && !jpeg) {
    const why = matrix === 'bt601' ? 'fewer than 720' : '720 or more';
    notes.push({
      code: 'matrix-assumed',
      severity: 'warn',
      message: `${file}: the film does not say which colour matrix it was made with (tag ${facts.matrixTag ?? 'absent'}); ${label(matrix)} was assumed because it has ${facts.storedHeight} lines (${why}). If that is wrong, the reagent's orange is off by about 4 % of full scale and saturated colours by up to 17 %, alike in all vials and frames. ${howToTag(facts.codec)}`,
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
  return {
    conversion: { matrix, range, ...primaries },
    described: `${label(matrix)} ${range} range (${how})${from}`,
    ...{ transferTag, notes },
  };
}

/** ffmpeg's bitstream filters that write the matrix into a film without encoding it anew; H.273 numbers where they want them. */
const taggingFilters: Readonly<Record<string, readonly [bt709: string, bt601: string]>> = {
  h264: ['h264_metadata=matrix_coefficients=1', 'h264_metadata=matrix_coefficients=6'],
  hevc: ['hevc_metadata=matrix_coefficients=1', 'hevc_metadata=matrix_coefficients=6'],
  av1: ['av1_metadata=matrix_coefficients=1', 'av1_metadata=matrix_coefficients=6'],
  vp9: ['vp9_metadata=color_space=bt709', 'vp9_metadata=color_space=bt601'],
  prores: ['prores_metadata=colorspace=bt709', 'prores_metadata=colorspace=smpte170m'],
};

function howToTag(codec: string): string {
  const filters = taggingFilters[codec];
  if (filters === undefined) return 'Film with a camera setting that writes the colour matrix (H.264 and HEVC can).';
  return `If you know the matrix, write it into a copy (nothing is encoded again) and use that: "ffmpeg -i FILM -c copy -bsf:v ${filters[0]} COPY" for BT.709, "${filters[1]}" for BT.601.`;
}

function label(matrix: MatrixName): string {
  return matrix === 'rgb' ? 'RGB' : matrix.replace('bt', 'BT.');
}
