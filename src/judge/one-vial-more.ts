import type { Evidence } from './outcome.ts';
import { countText, extentText } from './text.ts';

/**
 * Share of the way from value to lower bound that one vial more must save to be worth a sentence. Chosen: that is so for two vials, for
 * three beside another scattering sample, and for four only beside very many; the bound is wide there for want of degrees of freedom.
 */
const worthTelling = 1 / 3;

/**
 * A sentence on a lower bound that is wide because few vials scatter more than still ones do, and what one vial more would make of
 * it; empty where the bound does not rest on the sample's own scatter, or would hardly change.
 */
export function oneVialMore({ members, difference, bounds }: Evidence): string {
  if (difference === null || bounds === null || bounds.lowerWithOneMore === null) return '';
  const now = difference.value - bounds.lower;
  const then = difference.value - bounds.lowerWithOneMore;
  if (then > (1 - worthTelling) * now) return '';
  const freedom = countText(members.length - 1, 'degree');
  return ` Its ${countText(members.length, 'vial')} differ more than still ones do, so the lower bound rests on their own scatter (${freedom} of freedom): one vial more, scattering alike, would bring it to about ${extentText(bounds.lowerWithOneMore)}.`;
}
