import type { Reaction, Species } from '../model/reaction.ts';
import { checkShape } from './check-shape.ts';
import { readDocument } from './document.ts';
import { refuse, type Finding } from './findings.ts';
import { reactionSchema, type ReactionFile } from './schemas/reaction.ts';

/**
 * Reads and checks a file of shared/reactions.
 * @throws UserError naming file, line and key.
 */
export async function loadReaction(file: string): Promise<Reaction> {
  const document = await readDocument(file);
  const reaction = checkShape(reactionSchema, document);
  refuse(document, reactionFindings(reaction));
  return {
    name: reaction.name,
    title: reaction.title,
    species: reaction.species?.map(speciesOf) ?? null,
    electronsPerReagent: reaction.electrons_per_reagent ?? null,
    startColour: reaction.start_colour,
    endColour: reaction.end_colour,
    cautions: reaction.cautions,
  };
}

function speciesOf({ interpolated, ...species }: NonNullable<ReactionFile['species']>[number]): Species {
  if (interpolated === undefined) return species;
  const { from_nm: fromNm, to_nm: toNm, log, log_sd: logSd } = interpolated;
  return { ...species, interpolated: { fromNm, toNm, log, logSd } };
}

function reactionFindings({ species }: ReactionFile): Finding[] {
  if (species === undefined) return [];
  const sides = (['start', 'end'] as const)
    .filter((side) => !species.some((entry) => entry.side === side))
    .map((side) => ({
      code: 'species-missing',
      key: ['species'],
      message: `no species stands at the ${side} of the reaction`,
      hint: `add one with "side": "${side}", or leave out "species" altogether`,
    }));
  const spectra = species.flatMap(({ id, spectrum }, index): Finding[] => {
    const key = ['species', index, 'spectrum'];
    if (spectrum.nm.length !== spectrum.epsilon.length) {
      return [
        {
          code: 'spectrum-lengths',
          key,
          message: `"nm" and "epsilon" of ${id} differ in length`,
          expected: `${spectrum.nm.length} values`,
          got: `${spectrum.epsilon.length} values`,
        },
      ];
    }
    const falls = spectrum.nm.findIndex((nm, position) => position > 0 && nm <= spectrum.nm[position - 1]!);
    if (falls < 0) return [];
    return [{ code: 'spectrum-order', key: [...key, 'nm', falls], message: `wavelengths of ${id} do not ascend` }];
  });
  const stretches = species.flatMap(({ id, interpolated }, index): Finding[] =>
    interpolated === undefined || interpolated.from_nm < interpolated.to_nm
      ? []
      : [
          {
            code: 'stretch-order',
            key: ['species', index, 'interpolated', 'to_nm'],
            message: `the interpolated stretch of ${id} ends before it begins`,
            expected: `a number above from_nm (${interpolated.from_nm})`,
            got: `${interpolated.to_nm}`,
          },
        ],
  );
  return [...sides, ...spectra, ...stretches];
}
