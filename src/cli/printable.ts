/**
 * Text that is safe on a terminal: file names and labels may hold control characters, which could clear the screen or
 * imitate our own words. Line breaks stay, and joiners inside a letter or emoji; the rest is shown as its code.
 */
export function printable(text: string): string {
  return text.replace(
    /(?<![\p{L}\p{M}\p{Extended_Pictographic}])[\u200c\u200d]|[^\P{C}\n\u200c\u200d]/gu,
    (character) => {
      const code = character.codePointAt(0)!.toString(16).padStart(4, '0');
      return `\\u{${code}}`;
    },
  );
}

const wide =
  /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Emoji_Presentation}\uff01-\uff60]/u;

/** Characters as a reader counts them (grapheme clusters), each with the columns a terminal gives it: East Asian ones and emoji two. */
function cellsOf(text: string): readonly (readonly [segment: string, columns: number])[] {
  return [...new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(text)].map(({ segment }) => [
    segment,
    wide.test(segment) ? 2 : 1,
  ]);
}

/** Columns that a text takes on a terminal. */
export function columnsOf(text: string): number {
  return cellsOf(text).reduce((sum, [, columns]) => sum + columns, 0);
}

/** The text in at most so many columns, its end replaced by an ellipsis where it is longer. */
export function cutToColumns(text: string, most: number): string {
  if (columnsOf(text) <= most) return text;
  let kept = '';
  let taken = 1;
  for (const [segment, columns] of cellsOf(text)) {
    taken += columns;
    if (taken > most) break;
    kept += segment;
  }
  return `${kept}…`;
}

/** Columns to write in: those of the terminal, at most 80 and at least 50. */
export function terminalWidth(stream: { readonly columns?: number | undefined } = process.stderr): number {
  return Math.min(80, Math.max(50, stream.columns ?? 80));
}

/** A name for a line of words: controls shown as codes, line breaks as spaces, cut to so many columns. */
export function shortName(name: string, most: number): string {
  return cutToColumns(printable(name.replaceAll('\n', ' ')), most);
}

/** Breaks text into lines of at most `width` columns at spaces; the first begins with `lead`, the others with `indent`. */
export function wrapped(text: string, width: number, indent: string, lead = ''): string {
  const lines: string[] = [];
  let line = lead;
  let begun = false;
  for (const word of text.split(/[ \n\t]+/)) {
    const longer = begun ? `${line} ${word}` : `${line}${word}`;
    if (columnsOf(longer) > width && begun) {
      lines.push(line);
      line = `${indent}${word}`;
    } else {
      line = longer;
    }
    begun = true;
  }
  return [...lines, line].join('\n');
}
