import type { Verdict } from './outcome.ts';
import { moveText } from './move-text.ts';
import type { Judgeable } from './obstacles.ts';
import { reading } from './read-vials.ts';
import type { Situation } from './situation.ts';
import type { JudgedVial } from './types.ts';

/** Fewest frames before a step from which a vial is read. Chosen: as many as a reading at least rests on. */
const fewestFrames = 9;

/** Whether a step of brightness alone lies before the reading time, so that it is in the reading. */
function steppedBefore({ readingTime }: Situation, { move, series }: JudgedVial): boolean {
  return move?.kind === 'brightness' && move.atRunS - series.addedRunS <= readingTime.readAtS;
}

/**
 * The same vials read without what came after a step of brightness, in the last frames before it; those with too few frames before
 * it are left out. `null`: none has such a step.
 */
export function readBeforeMoves(situation: Situation, { fit, leftOut }: Judgeable): Judgeable | null {
  if (!fit.some((judged) => steppedBefore(situation, judged))) return null;
  const before = fit.flatMap((judged): JudgedVial[] => {
    if (!steppedBefore(situation, judged)) return [judged];
    const { usable, series, move } = judged;
    const count = usable.frame.filter((frame) => frame < move!.frame).length;
    if (count < fewestFrames) return [];
    const cut = {
      frame: usable.frame.slice(0, count),
      timeS: usable.timeS.slice(0, count),
      extent: usable.extent.slice(0, count),
      se: usable.se.slice(0, count),
    };
    // The fitted curve runs through the step, so it is no guide here.
    return [{ ...judged, atRead: reading(cut, null, cut.timeS.at(-1)!, series.vialSe, situation.input.path) }];
  });
  return { fit: before, leftOut };
}

/** A verdict that stands with and without what came after a step of brightness alone; else `undecided`, with the reason. */
export function sameWithoutMove(
  situation: Situation,
  members: readonly JudgedVial[],
  verdict: Verdict,
  before: Verdict,
): Verdict {
  if (verdict.outcome === 'undecided') return verdict;
  const said = members
    .filter((judged) => steppedBefore(situation, judged))
    .map(({ vial, move }) => `${vial.region} ${moveText(move!)}`)
    .join('; ');
  if (verdict.outcome === before.outcome) {
    return { ...verdict, reason: `${verdict.reason} ${said}; read before that, the outcome is the same.` };
  }
  const reason = `${said}. Read with what came after, the sample would have ${verdict.outcome}; read before it, ${before.outcome === 'undecided' ? 'it is undecided' : `it would have ${before.outcome}`}.`;
  return { outcome: 'undecided', reason, bound: null };
}
