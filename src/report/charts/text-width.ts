import { textSize } from './svg.ts';

const narrow = new Set([..."iIjl.,:;|!'·()[]/ ftr"]);
const wide = new Set([...'mwMW@%—']);

/**
 * Width of a line of text at the charts' size, on the safe side for common sans-serif faces (DejaVu Sans, the widest of
 * those, measured: 0.36, 0.61, 0.68 and 0.95 em for narrow, plain, capital and wide letters; bold a tenth more); anything beyond Latin counts as wide.
 */
export function textWidth(content: string, bold = false): number {
  let em = 0;
  for (const sign of content) em += widthOf(sign);
  return em * textSize * (bold ? 1.1 : 1);
}

function widthOf(sign: string): number {
  if (narrow.has(sign)) return 0.36;
  if (sign === '÷') return 0.84;
  if (wide.has(sign) || sign > '\u024f') return 0.95;
  return sign >= 'A' && sign <= 'Z' ? 0.68 : 0.61;
}

/** The text cut to a width with an ellipsis, whole characters (grapheme clusters) only. */
export function fitText(content: string, width: number): string {
  if (content === '' || textWidth(content) <= width) return content;
  let kept = '';
  for (const { segment } of new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(content)) {
    if (textWidth(`${kept}${segment}…`) > width) break;
    kept += segment;
  }
  return `${kept.trimEnd()}…`;
}

/** The text in lines of at most a width, broken at spaces; a longer word is cut. */
export function wrapText(content: string, width: number): readonly string[] {
  const lines: string[] = [];
  for (const word of content.split(' ')) {
    const longer = `${lines.at(-1) ?? ''} ${word}`;
    if (lines.length > 0 && textWidth(longer) <= width) lines[lines.length - 1] = longer;
    else lines.push(fitText(word, width));
  }
  return lines;
}
