import { open } from 'node:fs/promises';
import { readIndex } from '../salvage/mp4-boxes.ts';
import type { VideoFacts } from './probe-video.ts';

export type ColourTags = Pick<VideoFacts, 'rangeTag' | 'matrixTag' | 'primariesTag' | 'transferTag'>;

/** ITU-T H.273, tables 2 to 4, by ffmpeg's names; what is not here counts as not told. */
const primaries: Readonly<Record<number, string>> = {
  ...{ 1: 'bt709', 5: 'bt470bg', 6: 'smpte170m', 7: 'smpte240m', 9: 'bt2020', 11: 'smpte431', 12: 'smpte432' },
};
const transfers: Readonly<Record<number, string>> = {
  ...{ 1: 'bt709', 6: 'smpte170m', 7: 'smpte240m', 8: 'linear', 13: 'iec61966-2-1', 14: 'bt2020-10', 15: 'bt2020-12' },
  ...{ 16: 'smpte2084', 18: 'arib-std-b67' },
};
const matrices: Readonly<Record<number, string>> = {
  ...{ 1: 'bt709', 5: 'bt470bg', 6: 'smpte170m', 7: 'smpte240m', 9: 'bt2020nc', 10: 'bt2020c' },
};

/**
 * The colours that an MP4 or QuickTime index names, for what ffmpeg does not tell: of 2018, it believes a ProRes frame
 * that says "unspecified" more than the container. `null`: the index names none.
 */
export async function containerColours(file: string): Promise<ColourTags | null> {
  const handle = await open(file).catch(() => null);
  if (handle === null) return null;
  try {
    const index = await readIndex(handle);
    return index === null ? null : parseColr(index);
  } finally {
    await handle.close();
  }
}

/** `colr` of QuickTime (`nclc`, QuickTime File Format, "Color Parameter Atoms") and of ISO/IEC 14496-12, 12.1.5 (`nclx`). */
function parseColr(index: Buffer): ColourTags | null {
  for (let at = index.indexOf('colr', 0, 'latin1'); at >= 4; at = index.indexOf('colr', at + 4, 'latin1')) {
    const kind = index.toString('latin1', at + 4, at + 8);
    const length = index.readUInt32BE(at - 4);
    if (!(kind === 'nclc' && length === 18) && !(kind === 'nclx' && length === 19)) continue;
    if (at - 4 + length > index.length) continue;
    const code = (place: number): number => index.readUInt16BE(at + 8 + 2 * place);
    const full = kind === 'nclx' ? (index[at + 14]! & 0x80) !== 0 : null;
    return {
      rangeTag: full === null ? null : full ? 'full' : 'limited',
      primariesTag: primaries[code(0)] ?? null,
      transferTag: transfers[code(1)] ?? null,
      matrixTag: matrices[code(2)] ?? null,
    };
  }
  return null;
}
