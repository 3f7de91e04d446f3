/** What a {@link UserError} tells: one message that says where, what was expected, what was found and what to do. */
export interface UserErrorDetails {
  /** Stable kebab-case code for programs and tests, such as `unknown-region`. */
  readonly code: string;
  /** One sentence naming what is wrong. */
  readonly message: string;
  /** The file concerned, as the user named it. */
  readonly file?: string | undefined;
  /** 1-based line in that file. */
  readonly line?: number | undefined;
  /** Key path in that file, such as `vials[2].role`. */
  readonly key?: string | undefined;
  readonly expected?: string | undefined;
  readonly got?: string | undefined;
  /** What to do about it. */
  readonly hint?: string | undefined;
  readonly cause?: unknown;
}

/** The input is wrong (exit 2). Nothing has been written when this reaches the command line. */
export class UserError extends Error {
  readonly code: string;
  readonly details: UserErrorDetails;

  constructor(details: UserErrorDetails) {
    super(formatUserError(details), details.cause === undefined ? undefined : { cause: details.cause });
    this.name = 'UserError';
    this.code = details.code;
    this.details = details;
  }
}

/** A fault of the machine: disk, permissions, ffmpeg missing (exit 1). */
export class MachineError extends Error {
  readonly code: string;
  readonly hint: string | null;

  constructor(code: string, message: string, options: { readonly hint?: string; readonly cause?: unknown } = {}) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause });
    this.name = 'MachineError';
    this.code = code;
    this.hint = options.hint ?? null;
  }
}

function formatUserError(details: UserErrorDetails): string {
  const place = [details.file, details.line === undefined ? undefined : `line ${details.line}`]
    .filter((part) => part !== undefined)
    .join(', ');
  const lines = [place === '' ? details.message : `${place}: ${details.message}`];
  if (details.key !== undefined) lines.push(`  key:      ${details.key}`);
  if (details.expected !== undefined) lines.push(`  expected: ${details.expected}`);
  if (details.got !== undefined) lines.push(`  got:      ${details.got}`);
  if (details.hint !== undefined) lines.push(`  to do:    ${details.hint}`);
  return lines.join('\n');
}
