import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';

const codesIn = (text: string): readonly string[] =>
  [...text.matchAll(/\bcode(?: =|:) '([a-z-]+)'/g)].map((found) => found[1]!);

it('DEVELOPERS.md lists every check there is, and each is seen passing and not passing', () => {
  const folder = path.resolve('src/judge/checks');
  const source = readdirSync(folder).flatMap((file) => codesIn(readFileSync(path.join(folder, file), 'utf8')));
  const [, after] = readFileSync('DEVELOPERS.md', 'utf8').split('\n## Checks\n');
  const section = after!.split('\n## ')[0]!;
  const listed = [...section.matchAll(/^\| `([a-z-]+)` +\|/gm)].map((found) => found[1]!);
  expect(listed.length).toBeGreaterThan(20);
  expect(listed.toSorted()).toEqual([...new Set(source)].toSorted());
  const tested = new Set(codesIn(readFileSync('tests/judge/checks.test.ts', 'utf8')));
  // on racks of their own: neighbour-effect.test.ts, notes-and-events.test.ts and vial-moved.test.ts
  for (const code of ['neighbour-effect', 'events', 'vial-moved']) tested.add(code);
  expect(listed.filter((code) => !tested.has(code))).toEqual([]);
});
