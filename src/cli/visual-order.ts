import { fromTheRight, isolateEnd, isolateStart } from '../report/isolate.ts';

/**
 * A line of text for the PDF writer, which sets words from left to right however they are read; inside a word it knows
 * the order, but puts the space behind a right-to-left word to its left. So runs of right-to-left words are turned round,
 * each with one space more behind it, and so is an isolate whose first strong letter is right-to-left, its left-to-right
 * runs kept (Unicode Standard Annex 9, as far as words go). The marks of isolates are taken out.
 */
export function visualOrder(line: string): string {
  let turned = line;
  // from the innermost outwards; labels in a chart are nested twice at the most
  for (let before = ''; before !== turned;) {
    before = turned;
    turned = turned.replace(innermost, (_, inside: string) => `${held}${wordsInOrder(inside).join(glue)}`);
  }
  const words = turned.replace(new RegExp(`[${isolateStart}${isolateEnd}${held}]`, 'gu'), '').split(/[ \u0002]/u);
  return words.map((word, at) => (fromTheRight.test(words[at - 1] ?? '') ? ` ${word}` : word)).join(' ');
}

const innermost = new RegExp(`${isolateStart}([^${isolateStart}${isolateEnd}]*)${isolateEnd}`, 'gu');
/** Two marks that no label holds, as control characters are refused: of an isolate that is in order, and of its spaces. */
const held = '\u0001';
const glue = '\u0002';

function wordsInOrder(text: string): readonly string[] {
  const runs: { readonly right: boolean; readonly words: string[] }[] = [];
  let base: boolean | null = null;
  for (const word of text.split(' ')) {
    // what is isolated says nothing about the line around it
    const isolated = word.includes(held);
    const right = !isolated && fromTheRight.test(word);
    const strong = isolated ? null : /\p{L}/u.exec(word);
    if (base === null && strong !== null) base = fromTheRight.test(strong[0]);
    const last = runs.at(-1);
    if (last?.right === right) last.words.push(word);
    else runs.push({ right, words: [word] });
  }
  const set = runs.map(({ right, words }) => (right ? [...words].reverse() : words));
  return (base === true ? set.reverse() : set).flat();
}
