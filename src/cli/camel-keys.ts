type Camel<Key> = Key extends `${infer Head}_${infer Tail}` ? `${Head}${Capitalize<Camel<Tail> & string>}` : Key;

/** A record of a file (snake case) as the code names it (camel case), at every depth. */
export type CamelKeys<T> = T extends readonly [unknown, ...unknown[]]
  ? T
  : T extends readonly (infer Item)[]
    ? readonly CamelKeys<Item>[]
    : T extends object
      ? { readonly [Key in keyof T as Camel<Key>]: CamelKeys<T[Key]> }
      : T;

export function camelKeys<T>(value: T): CamelKeys<T> {
  return rename(value) as CamelKeys<T>;
}

function rename(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(rename);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value).map(([key, entry]) => [
      key.replace(/_([a-z0-9])/g, (_match, letter: string) => letter.toUpperCase()),
      rename(entry),
    ]),
  );
}

/** A record of the code as a file names it (snake case), at every depth; what is `null` or `undefined` is left out. */
export function snakeKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(snakeKeys);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, entry]) => entry !== null && entry !== undefined)
      .map(([key, entry]) => [key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`), snakeKeys(entry)]),
  );
}
