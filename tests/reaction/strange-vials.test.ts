import { beforeAll, describe, expect, it } from 'vitest';
import { linearRgbToOklab, oklabDistance } from '../../src/colour/index.ts';
import { loadReaction } from '../../src/files/index.ts';
import type { Reaction } from '../../src/model/reaction.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { readColourPath, type PathReading } from '../../src/reaction/colour-path.ts';
import type { Triple, VialColours } from '../../src/reaction/vial-colours.ts';
import { drawPhysics } from '../support/other-physics.ts';
import { runOfPhysics, usualRack, type PhysicsRun } from '../support/physics-run.ts';

/*
 * One vial does something else than react; the other eleven must be read as well as without it. Colours come from a second
 * physics; what the strange vial does is invented.
 */
let reaction: Reaction;
beforeAll(async () => {
  reaction = await loadReaction('shared/reactions/acid-dichromate.json');
});

const read = (vials: readonly VialColours[]): PathReading =>
  readColourPath({
    vials,
    reaction,
    reagentMolPerL: null,
    saved: null,
    backdrop: null,
    colourDistance: (first, second) => oklabDistance(linearRgbToOklab(first), linearRgbToOklab(second)),
  });

const rackOf = (seed: string): PhysicsRun => {
  const random = createRandom(seed);
  return runOfPhysics(drawPhysics(random), usualRack, random);
};

/** The clean sample of the rack. */
const clean = 6;

const changed = (run: PhysicsRun, change: (colour: Triple, share: number) => Triple): readonly VialColours[] =>
  run.vials.map((vial, index) =>
    index !== clean
      ? vial
      : {
          ...vial,
          rgb: vial.rgb.map((colour, frame) =>
            colour === null ? null : change(colour, Math.min(1, (2 * frame) / vial.rgb.length)),
          ),
        },
  );

const strangers = (reading: PathReading): readonly number[] =>
  reading.extents.flatMap(({ strange }, vial) => (strange ? [vial] : []));

const seeds = ['strange-1', 'strange-2', 'strange-3', 'strange-4'];

describe('a vial that follows another path', () => {
  it.each([
    [
      'turns cloudy: its liquid scatters white light over what it lets through',
      ([r, g, b]: Triple, share: number): Triple => [
        r * (1 - 0.35 * share) + 0.04 * share,
        g * (1 - 0.35 * share) + 0.04 * share,
        b * (1 - 0.35 * share) + 0.04 * share,
      ],
    ],
    [
      'takes up a blue of its own',
      ([r, g, b]: Triple, share: number): Triple => [r * (1 - 0.3 * share), g * (1 - 0.1 * share), b + 0.06 * share],
    ],
  ])('that %s, is named, and the others are read as if it were not there', (_, change) => {
    for (const seed of seeds) {
      const run = rackOf(seed);
      const reading = read(changed(run, change));
      expect(strangers(reading), seed).toEqual([clean]);
      const usual = read(run.vials);
      const apart = reading.extents.flatMap(({ extent }, vial) =>
        vial === clean ? [] : extent.map((value, frame) => Math.abs(value! - usual.extents[vial]!.extent[frame]!)),
      );
      expect(Math.max(...apart), seed).toBeLessThan(0.025);
    }
  });

  it('is not found where there is none, under other spectra, lamps and cameras', () => {
    for (let nth = 1; nth <= 12; nth += 1) expect(strangers(read(rackOf(`usual-${nth}`).vials)), `${nth}`).toEqual([]);
  });
});
