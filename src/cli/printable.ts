/**
 * Text that is safe on a terminal: file names and labels may hold control characters, which could clear the screen or
 * imitate our own words. Line breaks stay; the rest is shown as its code.
 */
export function printable(text: string): string {
  return text.replace(/[^\P{C}\n]/gu, (character) => {
    const code = character.codePointAt(0)!.toString(16).padStart(4, '0');
    return `\\u{${code}}`;
  });
}

/** Breaks text into lines of at most `width` characters at spaces; the second and later lines are indented. */
export function wrapped(text: string, width: number, indent: string): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/[ \n\t]+/)) {
    const longer = line === '' ? word : `${line} ${word}`;
    const room = lines.length === 0 ? width : width - indent.length;
    if (longer.length > room && line !== '') {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return [...lines, line].join(`\n${indent}`);
}
