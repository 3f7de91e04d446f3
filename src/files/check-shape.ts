import type { z } from 'zod';
import type { KeyPath, SourceDocument } from './document.ts';
import { refuse, shownValue, type Finding } from './findings.ts';
import { nearest } from './nearest.ts';
import { discriminatorWords, keysAt } from './schema-walk.ts';

/**
 * The document's value, if it has the schema's shape.
 * @throws UserError naming file, line, key, what was expected and the nearest right key or word.
 */
export function checkShape<Schema extends z.ZodType>(schema: Schema, document: SourceDocument): z.output<Schema> {
  const parsed = schema.safeParse(document.value);
  if (parsed.success) return parsed.data;
  refuse(document, otherKind(parsed.error.issues, document.value));
  const findings = flatten(parsed.error.issues, []).flatMap((issue) => describe(schema, document.value, issue));
  refuse(document, withoutConsequences(findings));
  throw new Error('a schema refused a value without an issue');
}

/** A file of another kind, told by its own word for it; what else is amiss with it is then of no account. */
function otherKind(issues: readonly z.core.$ZodIssue[], value: unknown): Finding[] {
  const issue = issues.find(({ path }) => path.length === 1 && path[0] === 'schema');
  const found = valueAt(value, ['schema']);
  if (issue?.code !== 'invalid_value' || typeof found !== 'string') return [];
  const wanted = String(issue.values[0]);
  const [kind, wantedKind] = [found, wanted].map((text) => /^vialapse\/([a-z]+)@\d+$/.exec(text)?.[1]);
  if (kind === undefined || wantedKind === undefined || kind === wantedKind) return [];
  return [
    {
      code: 'other-kind',
      key: ['schema'],
      message: `this is a ${kind} file; a ${wantedKind} file was expected`,
      expected: wanted,
      got: found,
      hint: `name a ${wantedKind} file`,
    },
  ];
}

interface PlacedIssue {
  readonly key: KeyPath;
  readonly issue: z.core.$ZodIssue;
}

/** Issues with full keys; of a plain union, those of the option that the value was meant as. */
function flatten(issues: readonly z.core.$ZodIssue[], above: KeyPath): PlacedIssue[] {
  return issues.flatMap((issue) => {
    const key = [...above, ...issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step))];
    if (issue.code === 'invalid_union' && issue.errors.length > 0) {
      const meant = issue.errors.find(
        (errors) => !errors.some((e) => e.code === 'invalid_type' && e.path.length === 0),
      );
      if (meant !== undefined) return flatten(meant, key);
    }
    return [{ key, issue }];
  });
}

function describe(schema: z.ZodType, root: unknown, { key, issue }: PlacedIssue): Finding[] {
  const value = valueAt(root, key);
  const name = key.at(-1);
  const named = typeof name === 'string' ? `"${name}"` : name === undefined ? 'the file' : `entry ${name}`;
  const wrong = (code: string, expected: string, hint?: string): Finding[] => [
    value === undefined
      ? { code: 'missing-key', key, message: `${named} is missing`, expected, hint: 'add it' }
      : value === null
        ? {
            code,
            key,
            message: `${named} is left blank`,
            expected,
            hint: 'fill it in, or remove the key if it may be left out',
          }
        : { code, key, message: `${named} is not valid`, expected, got: shownValue(value), hint },
  ];
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((unknown) => unknownKey(unknown, key, keysAt(schema, root, key)));
    case 'invalid_value':
      return wrongWord(wrong, value, issue.values.map(String));
    case 'invalid_union': {
      const words = discriminatorWords(schema, root, key);
      return words.length > 0 ? wrongWord(wrong, value, words) : wrong('wrong-type', issue.message);
    }
    case 'invalid_type':
      return wrong('wrong-type', typeWord(issue.expected, name, keysAt(schema, root, key)));
    case 'too_small':
      return wrong('out-of-range', limit(issue.origin, issue.inclusive ? 'at least' : 'above', String(issue.minimum)));
    case 'too_big':
      return wrong('out-of-range', limit(issue.origin, issue.inclusive ? 'at most' : 'below', String(issue.maximum)));
    default:
      return wrong('invalid-value', issue.message);
  }
}

const typeWords: Readonly<Record<string, string>> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text',
  boolean: 'true or false',
  object: 'keys with values',
  record: 'keys with values',
  array: 'a list',
  tuple: 'a pair of numbers',
};

/** What was expected in words; a number of seconds is called so, and a group of keys by their names. */
function typeWord(expected: string, name: KeyPath[number] | undefined, keys: readonly string[]): string {
  if (expected === 'number' && typeof name === 'string' && name.endsWith('_s')) return 'a number of seconds';
  if (expected === 'object' && keys.length > 0) return `keys: ${keys.join(', ')}`;
  return typeWords[expected] ?? expected;
}

const limit = (origin: string, side: string, bound: string): string =>
  `${side} ${bound}${origin === 'string' ? ' characters' : origin === 'array' ? ' entries' : ''}`;

type Wrong = (code: string, expected: string, hint?: string) => Finding[];

function wrongWord(wrong: Wrong, value: unknown, words: readonly string[]): Finding[] {
  const near = typeof value === 'string' ? nearest(value, words) : null;
  return wrong('unknown-word', words.join(' | '), near === null ? undefined : `did you mean "${near}"?`);
}

function unknownKey(unknown: string, parent: KeyPath, known: readonly string[]): Finding {
  const near = nearest(unknown, known);
  return {
    code: 'unknown-key',
    key: [...parent, unknown],
    message: `there is no key "${unknown.slice(0, 60)}"${parent.length === 0 ? '' : ' here'}`,
    expected: near === null ? known.join(', ') : undefined,
    hint: near === null ? 'remove it, or use one of the keys above' : `did you mean "${near}"?`,
  };
}

/** Leaves out "label is missing" where "there is no key lable, did you mean label" says it already. */
function withoutConsequences(findings: readonly Finding[]): readonly Finding[] {
  const explained = new Set(
    findings
      .filter(({ code }) => code === 'unknown-key')
      .map(({ key, hint }) => JSON.stringify([...key.slice(0, -1), /"(.*)"/.exec(hint ?? '')?.[1]])),
  );
  return findings.filter(({ code, key }) => code !== 'missing-key' || !explained.has(JSON.stringify(key)));
}

function valueAt(value: unknown, key: KeyPath): unknown {
  return key.reduce<unknown>((at, step) => (at as Record<string | number, unknown> | null | undefined)?.[step], value);
}
