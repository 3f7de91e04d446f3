import { open } from 'node:fs/promises';

/** Chunks before the pixels that are looked at; real files have some ten. Chosen. */
const mostChunks = 200;

/**
 * The exponent that a PNG's `gAMA` chunk names (code values are light to that power), where nothing stronger names the
 * colours: `null` with an sRGB, profile or code-point chunk, and where it is sRGB's own 0.45455 (PNG Specification, Third
 * Edition, 4.3 and 11.3.2). Tools that develop raw pictures write 1, for linear light.
 */
export async function pngGamma(file: string): Promise<number | null> {
  const handle = await open(file);
  try {
    const head = Buffer.alloc(12);
    let gamma: number | null = null;
    for (let at = 8, count = 0; count < mostChunks; count++) {
      const { bytesRead } = await handle.read(head, 0, 12, at);
      const type = head.toString('latin1', 4, 8);
      if (bytesRead < 12 || type === 'IDAT' || type === 'IEND') return gamma;
      if (type === 'sRGB' || type === 'iCCP' || type === 'cICP') return null;
      // In units of 1/100,000. Within a hundredth of sRGB's, writers mean sRGB.
      if (type === 'gAMA') gamma = knownGamma(head.readUInt32BE(8) / 100_000);
      at += 12 + head.readUInt32BE(0);
    }
    return gamma;
  } finally {
    await handle.close();
  }
}

/** Outside of 0.1 to 2 no display or camera ever was: a writer's mistake. Chosen. */
const knownGamma = (gamma: number): number | null =>
  gamma < 0.1 || gamma > 2 || Math.abs(gamma - 0.45455) < 0.01 ? null : gamma;
