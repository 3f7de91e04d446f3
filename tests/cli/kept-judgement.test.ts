import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { bench, writeRunFile, writeStills } from './bench.ts';

// The built program: only that knows which code it is, without which nothing but measurements is kept.
const project = path.resolve(import.meta.dirname, '..', '..');
const program = path.join(project, 'bin', 'vialapse');
const root = bench();
const shared = path.join(root, 'shared');
let run: string;
let text: string;

beforeAll(async () => {
  run = writeRunFile(root, { source: await writeStills(root, 30), more: 'read_at_s: 900\nmargin: 0.05\n' });
  text = readFileSync(run, 'utf8');
});

/** Analyses the run into `<parent>/<name>`; every file of the report, without the time of making. */
function reportOf(parent: string, name: string, by = program): Record<string, string> {
  const out = path.join(parent, name);
  try {
    execFileSync(process.execPath, [by, 'analyse', run, '--out', out], { stdio: 'pipe' });
  } catch (error) {
    // 3: this small rack's controls have failed, which is nothing here.
    if ((error as { readonly status?: unknown }).status !== 3) throw error;
  }
  const files = readdirSync(out, { recursive: true, encoding: 'utf8' })
    .filter((file) => statSync(path.join(out, file)).isFile())
    .sort();
  return Object.fromEntries(
    files.map((file) => [file, readFileSync(path.join(out, file), 'utf8').replace(/"at":\s*"[^"]+"/, '"at":""')]),
  );
}

/** The files kept beside the measurement, and which write each is. */
function kept(): Record<string, bigint> {
  const folder = path.join(shared, '.vialapse');
  const [key] = readdirSync(folder).filter((name) => name !== 'sources');
  return Object.fromEntries(
    readdirSync(path.join(folder, key!)).map((name) => [
      name.replace('.bin', ''),
      statSync(path.join(folder, key!, name), { bigint: true }).ino,
    ]),
  );
}

describe('a run judged again with other settings', () => {
  it('gives the files of one judged anew, and redoes only what the setting decides', () => {
    const first = reportOf(shared, 'first');
    expect(reportOf(shared, 'first-again')).toEqual(first);
    let before = kept();
    expect(Object.keys(before).sort()).toEqual(['extents', 'fits', 'measurement']);
    const changes: readonly (readonly [name: string, from: string, to: string, redone: readonly string[]])[] = [
      ['label', 'dirty lot', 'lot 11', []],
      ['margin', 'margin: 0.05', 'margin: 0.1', []],
      ['reading-time', 'read_at_s: 900', 'read_at_s: 1200', []],
      ['standard', 'dirty lot, role: sample', 'dirty lot, role: standard, level_mol_percent: 0.5', []],
      ['alpha', 'read_at_s: 900', 'read_at_s: 900\nalpha: 0.01', ['fits']],
      ['role', 'clean reference, role: negative', 'clean reference, role: sample', ['extents', 'fits']],
    ];
    for (const [name, from, to, redone] of changes) {
      writeFileSync(run, text.replace(from, to));
      const again = reportOf(shared, name);
      const now = kept();
      expect(
        Object.keys(now).filter((file) => now[file] !== before[file]),
        name,
      ).toEqual(redone);
      before = now;
      expect(again['result.json'], name).not.toBe(first['result.json']);
      expect(reportOf(path.join(root, 'anew', name), name), name).toEqual(again);
    }
  });

  it('does not trust a damaged file', () => {
    writeFileSync(run, text);
    const first = reportOf(shared, 'sound');
    const folder = path.join(shared, '.vialapse');
    const [key] = readdirSync(folder).filter((name) => name !== 'sources');
    for (const name of ['extents.bin', 'fits.bin']) {
      const file = path.join(folder, key!, name);
      const bytes = readFileSync(file);
      bytes[bytes.length - 20]! ^= 64;
      writeFileSync(file, bytes);
    }
    expect(reportOf(shared, 'after-damage')).toEqual(first);
  });
});

/** A build whose code differs in one of the constants that the bundler writes in. */
function otherBuild(name: string, constant: string): string {
  const at = path.join(root, name);
  mkdirSync(at);
  for (const part of ['bin', 'dist', 'package.json'])
    cpSync(path.join(project, part), path.join(at, part), { recursive: true });
  for (const part of ['node_modules', 'shared']) symlinkSync(path.join(project, part), path.join(at, part));
  const folder = path.join(at, 'dist', 'program');
  // The bundler leaves `return true ? "..." : null`.
  const constantOf = new RegExp(`(function ${constant}\\(\\) \\{[^"}]*")[0-9a-f]{32}`);
  let changed = 0;
  for (const file of readdirSync(folder)) {
    const text = readFileSync(path.join(folder, file), 'utf8');
    const other = text.replace(constantOf, `$1${'0'.repeat(32)}`);
    if (other !== text) changed += 1;
    writeFileSync(path.join(folder, file), other);
  }
  expect(changed).toBeGreaterThan(0);
  return path.join(at, 'bin', 'vialapse');
}

describe('another build', () => {
  it('measures anew when what measures has changed, and not for a changed judgement', () => {
    writeFileSync(run, text);
    const parent = path.join(root, 'builds');
    const kept = (): readonly string[] =>
      readdirSync(path.join(parent, '.vialapse')).filter((name) => name !== 'sources');
    const first = reportOf(parent, 'first');
    expect(kept()).toHaveLength(1);
    expect(reportOf(parent, 'judges', otherBuild('judges-otherwise', 'codeId'))).toEqual(first);
    expect(kept()).toHaveLength(1);
    expect(reportOf(parent, 'measures', otherBuild('measures-otherwise', 'measuringId'))).toEqual(first);
    expect(kept()).toHaveLength(2);
  });
});
