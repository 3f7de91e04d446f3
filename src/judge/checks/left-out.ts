import { regionsText } from '../obstacles.ts';
import type { JudgedVial } from '../types.ts';

/** A sentence naming those of some troubled vials that would have been references; empty without any. */
export function leftOutAsReferences(troubled: readonly JudgedVial[]): string {
  const references = troubled.filter(({ vial, trouble }) => vial.role !== 'sample' && trouble !== null);
  if (references.length === 0) return '';
  return ` ${regionsText(references)} ${references.length === 1 ? 'is' : 'are'} left out as reference.`;
}
