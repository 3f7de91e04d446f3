import { isolateEnd, isolateStart } from '../isolate.ts';
import { textSize } from './svg.ts';

const narrow = new Set([..."iIjl.,:;|!'·()[]/ ftr"]);
const wide = new Set([...'mwMW@%—']);
const signs = new Set([...'÷<>=+~±×−']);
const boldFactor = 1.12;
const none = new Set([isolateStart, isolateEnd]);

/**
 * Width of a line of text at the charts' size, on the safe side for common sans-serif faces (DejaVu Sans, the widest of
 * those, measured: 0.36, 0.61, 0.68, 0.84 and 0.99 em for narrow, plain, capital letters, mathematical signs and wide
 * letters; bold an eighth more); anything beyond Latin counts as wide.
 */
export function textWidth(content: string, bold = false): number {
  let em = 0;
  for (const sign of content) em += widthOf(sign) * (bold ? boldFactor : 1);
  return em * textSize;
}

function widthOf(sign: string): number {
  if (narrow.has(sign)) return 0.36;
  if (signs.has(sign)) return 0.84;
  if (none.has(sign)) return 0;
  if (wide.has(sign) || sign > '\u024f') return 0.99;
  return sign >= 'A' && sign <= 'Z' ? 0.68 : 0.61;
}

/** The text cut to a width with an ellipsis, whole characters (grapheme clusters) only; isolates cut open are closed. */
export function fitText(content: string, width: number, bold = false): string {
  if (content === '' || textWidth(content, bold) <= width) return content;
  let kept = '';
  for (const { segment } of new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(content)) {
    if (textWidth(`${kept}${segment}…`, bold) > width) break;
    kept += segment;
  }
  const open = kept.split(isolateStart).length - kept.split(isolateEnd).length;
  return `${kept.trimEnd()}…${isolateEnd.repeat(Math.max(0, open))}`;
}

/** The text in lines of at most a width, broken at spaces; a longer word is cut. */
export function wrapText(content: string, width: number, bold = false): readonly string[] {
  const lines: string[] = [];
  for (const word of content.split(' ')) {
    const longer = `${lines.at(-1) ?? ''} ${word}`;
    if (lines.length > 0 && textWidth(longer, bold) <= width) lines[lines.length - 1] = longer;
    else lines.push(fitText(word, width, bold));
  }
  return lines;
}
