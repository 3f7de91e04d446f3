import { escapeXml } from '../escape.ts';

/** Text that is markup already. Only {@link html} and {@link raw} make it, so that nothing untrusted slips in unescaped. */
export interface Markup {
  readonly markup: string;
}

type Part = string | number | Markup | readonly Markup[];

/** Template tag: strings and numbers put in are escaped, markup and lists of markup stand as they are. */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  const written = parts.map((part) => {
    if (typeof part === 'string' || typeof part === 'number') return escapeXml(String(part));
    return 'markup' in part ? part.markup : part.map((one) => one.markup).join('');
  });
  return { markup: strings.map((piece, index) => piece + (written[index] ?? '')).join('') };
}

/** Markup made by our own drawing code. */
export function raw(markup: string): Markup {
  return { markup };
}

export const nothing: Markup = { markup: '' };

/** A user's words: kept apart from their surroundings whatever their writing direction. */
export function bdi(text: string): Markup {
  return html`<bdi>${text}</bdi>`;
}

/** A sentence whose numbers stay with their units when lines are broken, and whose negative numbers have a true minus. */
export function prose(sentence: string): string {
  return sentence
    .replace(/(?<=^|[ (])-(?=\d)/g, '−')
    .replace(/(\d) (?=(?:%|h|min|s|mol|ml|mL|g|degrees)\b|%)/g, '$1\u00a0');
}
