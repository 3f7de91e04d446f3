import { likenessAt, mostAlike, type GreyGrid } from '../numeric/picture-likeness.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Largest move of the camera looked for, share of the width. Chosen: beyond it vials have left the picture. */
const farthest = 0.1;
/** Likeness from which a place is kept without a search; gain over the place before that a move must bring. Chosen: true places of modelled racks have 0.84 to 0.94. */
const surely = 0.85;
const gain = 0.1;

/**
 * The looks as the camera would have seen them from where it stood in the first, so that a nudge in the film does not show every vial twice. Whole pixels;
 * edges are repeated.
 */
export function alignLooks(looks: readonly SmallOklab[]): readonly SmallOklab[] {
  const first = looks[0]!;
  const grey = (look: SmallOklab): GreyGrid => ({ width: look.width, height: look.height, data: look.lightness });
  let [dx, dy] = [0, 0];
  return looks.map((look, index) => {
    if (index === 0) return look;
    const here = likenessAt(grey(first), grey(look), dx, dy);
    if (here < surely) {
      const place = mostAlike(grey(first), grey(look), Math.round(farthest * first.width));
      if (place.likeness > here + gain) ({ dx, dy } = place);
    }
    return dx === 0 && dy === 0 ? look : moved(look, dx, dy);
  });
}

function moved(look: SmallOklab, dx: number, dy: number): SmallOklab {
  const { width, height } = look;
  const from = new Int32Array(width * height);
  for (let y = 0; y < height; y += 1) {
    const row = Math.min(height - 1, Math.max(0, y + dy)) * width;
    for (let x = 0; x < width; x += 1) from[y * width + x] = row + Math.min(width - 1, Math.max(0, x + dx));
  }
  const plane = (values: Float32Array): Float32Array => Float32Array.from(from, (at) => values[at]!);
  return {
    ...{ ...look, lightness: plane(look.lightness), a: plane(look.a), b: plane(look.b) },
    clipped: Uint8Array.from(from, (at) => look.clipped[at]!),
  };
}
