const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * Text for XML and HTML content and quoted attributes. Characters XML 1.0 forbids (most controls, lone surrogates)
 * become U+FFFD, so that a label can never break a chart file.
 */
export function escapeXml(text: string): string {
  return text

    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff\p{Surrogate}]/gu, '\ufffd')
    .replace(/[&<>"']/g, (sign) => entities[sign]!);
}

/** JSON that may stand inside a script element: no `<`, `>`, `&`, line separators. */
export function jsonForScript(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
