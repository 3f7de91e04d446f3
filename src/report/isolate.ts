/** Letters written from the right, by the blocks that Unicode keeps for them (Standard Annex 9, default classes R and AL). */
export const fromTheRight = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;

/** First strong isolate and its end (Unicode Standard Annex 9, 2.4): the order inside is the text's own. */
export const isolateStart = '\u2068';
export const isolateEnd = '\u2069';

/**
 * A name in a line of plain text (where no `bdi` can stand): one with right-to-left letters keeps its own order and moves
 * nothing around it; any other stays as it is.
 */
export function isolate(text: string): string {
  return fromTheRight.test(text) ? `${isolateStart}${text}${isolateEnd}` : text;
}
