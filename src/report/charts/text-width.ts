import { textSize } from './svg.ts';

const narrow = new Set([..."iIjl.,:;|!'·()[]/ ftr"]);
const wide = new Set([...'mwMW@%—']);

/**
 * Width of a line of text at the charts' size, on the safe side for common sans-serif faces (DejaVu Sans, the widest of
 * those, measured: 0.35, 0.62 and 0.95 em for narrow, plain and wide letters); anything beyond Latin counts as wide.
 */
export function textWidth(content: string, bold = false): number {
  let em = 0;
  for (const sign of content) em += narrow.has(sign) ? 0.36 : wide.has(sign) || sign > '\u024f' ? 0.95 : 0.6;
  return em * textSize * (bold ? 1.08 : 1);
}

/** The text cut to a width with an ellipsis, whole characters (grapheme clusters) only. */
export function fitText(content: string, width: number): string {
  if (textWidth(content) <= width) return content;
  let kept = '';
  for (const { segment } of new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(content)) {
    if (textWidth(`${kept}${segment}…`) > width) break;
    kept += segment;
  }
  return `${kept.trimEnd()}…`;
}
