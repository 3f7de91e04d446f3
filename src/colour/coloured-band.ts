import type { RegionPixels } from '../model/frame.ts';

/** Share of a row's pixels that must be left out of the mask for the row to belong to a band. Chosen. */
const leftOutShare = 0.7;
/** Least height of a band, as a share of the region's. Chosen: a meniscus with its shadow takes less. */
const leastHeight = 0.12;
/** Least colour (largest less smallest encoded channel, mean of the row) in one look at least: liquid with reagent in it, not air, glass or glare. Chosen: fresh reagent has 0.6 to 0.9, a layer that took up a tenth of it 0.35, glass and air 0.03. */
const leastColour = 0.2;

/** What a region's rows were in the look in which each had most colour: before anything dried up or faded. */
export interface RowColours {
  /** @param places place on the mask's grid of each sample, row by row; its number in the look; whether it stood out there (1) */
  look(pixels: RegionPixels, places: Int32Array, samples: Int32Array, flags: Uint8Array): void;
  /** Colour of each row, encoded units; 0 for rows never seen. */
  readonly most: Float64Array;
  /** Share of its samples that stood out of the liquid's smooth surface in that look. */
  readonly standOut: Float64Array;
}

export function createRowColours(width: number, height: number): RowColours {
  const most = new Float64Array(height);
  const sums = new Float64Array(height);
  const counts = new Float64Array(height);
  const flagged = new Float64Array(height);
  const standOut = new Float64Array(height);
  return {
    most,
    standOut,
    look({ red, green, blue, pixelsPerSample }, places, samples, flags) {
      sums.fill(0);
      counts.fill(0);
      flagged.fill(0);
      for (let entry = 0; entry < places.length; entry += 1) {
        const row = Math.floor(places[entry]! / width);
        const [r, g, b] = [red[samples[entry]!]!, green[samples[entry]!]!, blue[samples[entry]!]!];
        sums[row]! += Math.max(r, g, b) - Math.min(r, g, b);
        counts[row]! += 1;
        flagged[row]! += flags[entry]!;
      }
      for (let row = 0; row < height; row += 1) {
        if (counts[row] === 0) continue;
        const colour = sums[row]! / counts[row]!;
        // one look of a coarse grid speaks for all the frame's rows that its sample covers
        for (let under = row; under < Math.min(height, row + pixelsPerSample); under += 1) {
          if (colour <= most[under]!) continue;
          most[under] = colour;
          standOut[under] = flagged[row]! / counts[row]!;
        }
      }
    },
  };
}

/**
 * A band of rows that the mask leaves out although it is coloured like reagent: a second liquid layer. Glare and glass are
 * left out too, but have no colour; a band that was kept is no business of this.
 * @param keep mask over the grid, 0 for what is left out; `inside`: 1 in the region
 * @returns the band's pixels (1) on the same grid; `null`: there is none
 */
export function colouredBand(
  keep: Uint8Array,
  inside: Uint8Array,
  width: number,
  { most, standOut }: Pick<RowColours, 'most' | 'standOut'>,
): Uint8Array | null {
  const rows = Array.from(most, (colour, row) => {
    let total = 0;
    let out = 0;
    for (let place = row * width; place < (row + 1) * width; place += 1) {
      total += inside[place]!;
      if (inside[place] === 1 && keep[place] === 0) out += 1;
    }
    return {
      inRegion: total > 0,
      inBand: total > 0 && colour >= leastColour && standOut[row]! >= leftOutShare && out >= leftOutShare * total,
    };
  });
  const height = rows.filter(({ inRegion }) => inRegion).length;
  let [from, length] = [0, 0];
  for (let row = 0, begun = 0; row < rows.length; row += 1) {
    if (!rows[row]!.inBand) begun = row + 1;
    else if (row + 1 - begun > length) [from, length] = [begun, row + 1 - begun];
  }
  if (length < leastHeight * height) return null;
  // a row at either border is a mixture of the two
  const [first, last] = [from + 1, from + length - 2];
  return inside.map((one, place) => (one === 1 && place >= first * width && place < (last + 1) * width ? 1 : 0));
}
