import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import pngjs from 'pngjs';

const folder = path.resolve(import.meta.dirname, '../golden');

/** Grey steps of 255 that smoothing of letters may differ by. Chosen: another build of a font library shifts edges, never areas. */
const tolerance = 48;

/**
 * Share of pixels, 0..1, in which a screenshot (PNG) differs plainly from the one reviewed by eye in `tests/golden/`; 1 where the sizes differ.
 * A picture that is not there yet, or with `VIALAPSE_GOLDEN=write`, is written instead: look at it before it is committed.
 */
export function unlikeGolden(name: string, seen: Buffer): number {
  const file = path.join(folder, name);
  if (process.env['VIALAPSE_GOLDEN'] === 'write' || !existsSync(file)) {
    mkdirSync(folder, { recursive: true });
    writeFileSync(file, seen);
    return 0;
  }
  const [now, golden] = [pngjs.PNG.sync.read(seen), pngjs.PNG.sync.read(readFileSync(file))];
  if (now.width !== golden.width || now.height !== golden.height) return 1;
  let unlike = 0;
  for (let at = 0; at < now.data.length; at += 4) {
    const apart = [0, 1, 2].some(
      (channel) => Math.abs(now.data[at + channel]! - golden.data[at + channel]!) > tolerance,
    );
    if (apart) unlike += 1;
  }
  return unlike / (now.width * now.height);
}
