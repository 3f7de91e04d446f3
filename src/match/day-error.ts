import { mean } from '../numeric/mean.ts';
import { UserError } from '../errors.ts';
import type { Measurement, RegionColours } from '../model/measurement.ts';

/**
 * Root-mean-square error of a colour between two days, CIEDE2000, after the patches have been made equal: another lamp and another picture
 * style weigh the same spectrum differently. Measured on modelled panels (tests/match/day-error.test.ts): a neutral LED against a warm LED, daylight and a lamp of 3000 K is
 * 1.5 to 3.7 apart, up to 4.7 where the camera's colour matrix is made for another lamp.
 */
export const dayError = 5;
/** Linear luminance that the common patch is given: about that of white paper. Chosen: it only sets the scale of lightness. */
const patchLevel = 0.85;
/** Share of a patch at full scale from which its level is not known. Chosen. */
const clippedShare = 0.05;

/**
 * Multipliers of linear light that bring the runs' brightest common patch to one level (1 where both were fitted to a chart), and the error between
 * the runs (0 within one).
 * @throws UserError when two runs are to be compared and a patch is missing: their light would not be comparable.
 */
export function linkedColours(
  own: Measurement,
  other: Measurement | null,
  ownName: string,
  otherName: string | null,
): { readonly scales: readonly [number, number]; readonly dayError: number } {
  // A fitted chart has brought both to its own colours already; the error of a day is not taken to be smaller for it.
  if (other !== null && [own, other].every(({ chart }) => chart?.applied === true)) {
    return { scales: [1, 1], dayError };
  }
  const levels = [own, ...(other === null ? [] : [other])].map(patchLevels);
  if (other !== null) {
    const lacking = [own, other].findIndex(
      (measurement, index) => measurement.light.basis !== 'patches' || levels[index]!.size === 0,
    );
    if (lacking >= 0) {
      throw new UserError({
        code: 'no-common-patch',
        message: 'colours of two runs can only be compared when both show a neutral patch, or both a chart',
        file: [ownName, otherName ?? ''][lacking],
        key: 'rig',
        hint: 'place a "white" patch (or a chart) in both rigs, or put the knowns beside the samples',
      });
    }
  }
  const common = [...levels[0]!].filter(([id]) => levels.every((one) => one.has(id)));
  const brightest = common.sort(([, first], [, second]) => second - first)[0]?.[0];
  if (other !== null && brightest === undefined) {
    throw new UserError({
      code: 'no-common-patch',
      message: 'the two runs have no usable neutral patch of the same name in common',
      file: ownName,
      key: 'rig',
      expected: [...levels[1]!.keys()].join(', '),
      got: [...levels[0]!.keys()].join(', '),
      hint: 'name the same patch alike in both rigs',
    });
  }
  const scale = (index: number): number =>
    brightest === undefined ? 1 : patchLevel / (levels[index]?.get(brightest) ?? patchLevel);
  return { scales: [scale(0), scale(1)], dayError: other === null ? 0 : dayError };
}

/** Luminance of every usable patch, by name. */
function patchLevels({ patches, light }: Measurement): ReadonlyMap<string, number> {
  if (light.basis !== 'patches') return new Map();
  const levels = patches.map((patch) => [nameOf(patch), levelOf(patch)] as const);
  return new Map(levels.filter((entry): entry is readonly [string, number] => entry[1] !== null));
}

/** Patches are measured under a prefix that keeps them apart from vials of the same name. */
const nameOf = ({ id }: RegionColours): string => id.replace(/^white /, '');

function levelOf(patch: RegionColours): number | null {
  const levels = patch.green
    .map((green, frame) => {
      const clipped = Math.max(...(['red', 'green', 'blue'] as const).map((one) => patch[`${one}Clipped`][frame] ?? 0));
      const red = patch.red[frame] ?? null;
      const blue = patch.blue[frame] ?? null;
      if (green === null || red === null || blue === null || clipped > clippedShare) return null;
      return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    })
    .filter((level) => level !== null);
  if (levels.length === 0) return null;
  const level = mean(levels);
  return level > 0.02 ? level : null;
}
