import { UserError } from '../errors.ts';
import type { KeyPath, SourceDocument } from './document.ts';

/** One thing wrong in a file. */
export interface Finding {
  readonly code: string;
  readonly key: KeyPath;
  readonly message: string;
  readonly expected?: string | undefined;
  readonly got?: string | undefined;
  readonly hint?: string | undefined;
}

/** `vials[2].role` */
export function keyText(key: KeyPath): string {
  return key.reduce<string>(
    (text, step) => (typeof step === 'number' ? `${text}[${step}]` : text === '' ? step : `${text}.${step}`),
    '',
  );
}

/** A value as it may be shown in a message: one line, at most 60 characters. */
export function shownValue(value: unknown): string {
  if (typeof value === 'number') return String(value);
  const text = value === undefined ? 'nothing' : (JSON.stringify(value) ?? String(value));
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

/** @throws UserError telling the first finding by line in full, and where the others are; nothing when there is none. */
export function refuse(document: SourceDocument, findings: readonly Finding[]): void {
  const sorted = findings
    .map((finding) => ({ finding, line: document.lineOf(finding.key) }))
    .sort((first, second) => first.line - second.line);
  const first = sorted[0];
  if (first === undefined) return;
  const others = sorted.slice(1);
  const places = others.slice(0, 3).map(({ finding, line }) => `line ${line} (${finding.message})`);
  const also = `\n  also:     ${others.length} more in this file: ${places.join('; ')}${others.length > places.length ? '; …' : ''}`;
  throw new UserError({
    code: first.finding.code,
    message: first.finding.message,
    file: document.file,
    line: first.line,
    key: first.finding.key.length === 0 ? undefined : keyText(first.finding.key),
    expected: first.finding.expected,
    got: first.finding.got,
    hint: `${first.finding.hint ?? 'correct it'}${others.length === 0 ? '' : also}`,
  });
}
