import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { importTable as table } from './support/import-table.ts';

/** Files at the top of src/ and the command line join the steps: they may import everything. */
const unrestricted = new Set(['cli', '.']);

const root = path.resolve(import.meta.dirname, '..', 'src');
const files = readdirSync(root, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => name.split(path.sep).join('/'))
  .sort();

function importsOf(file: string): readonly { specifier: string; typeOnly: boolean }[] {
  const text = readFileSync(path.join(root, file), 'utf8');
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2023, true);
  const found: { specifier: string; typeOnly: boolean }[] = [];
  const visit = (node: ts.Node): void => {
    if ((ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) && node.moduleSpecifier !== undefined) {
      const typeOnly = ts.isImportDeclaration(node)
        ? node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword
        : node.isTypeOnly;
      found.push({ specifier: (node.moduleSpecifier as ts.StringLiteral).text, typeOnly });
    }
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const argument = node.arguments[0];
      if (argument !== undefined && ts.isStringLiteral(argument)) {
        found.push({ specifier: argument.text, typeOnly: false });
      }
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const folderOf = (file: string): string => (file.includes('/') ? file.slice(0, file.indexOf('/')) : '.');
const matches = (pattern: string, name: string): boolean =>
  pattern.endsWith('*') ? name.startsWith(pattern.slice(0, -1)) : pattern === name;
const resolve = (file: string, specifier: string): string =>
  path.posix.normalize(path.posix.join(path.posix.dirname(file), specifier));

describe('the import table', () => {
  it('sees the source files', () => {
    expect(files.length).toBeGreaterThan(10);
  });

  it('names every folder of src/', () => {
    const folders = new Set(files.map(folderOf).filter((folder) => !unrestricted.has(folder)));
    expect([...folders].filter((folder) => table[folder] === undefined)).toEqual([]);
  });

  it('is obeyed by every import', () => {
    const offences: string[] = [];
    for (const file of files) {
      const folder = folderOf(file);
      const rule = table[folder];
      if (rule === undefined) continue;
      for (const { specifier } of importsOf(file)) {
        if (specifier.startsWith('.')) {
          const target = resolve(file, specifier);
          const targetFolder = folderOf(target);
          const allowed =
            targetFolder === folder ||
            targetFolder === 'model' ||
            target === 'errors.ts' ||
            rule.folders.includes(targetFolder);
          if (!allowed) offences.push(`${file} imports ${target}`);
        } else if (!rule.packages.some((pattern) => matches(pattern, specifier))) {
          offences.push(`${file} imports ${specifier}`);
        }
      }
    }
    expect(offences).toEqual([]);
  });

  it('leaves no cycle between files', () => {
    const graph = new Map(
      files.map((file) => [
        file,
        importsOf(file)
          .filter(({ specifier, typeOnly }) => specifier.startsWith('.') && !typeOnly)
          .map(({ specifier }) => resolve(file, specifier)),
      ]),
    );
    const state = new Map<string, 'open' | 'done'>();
    const cycles: string[] = [];
    const walk = (file: string, trail: readonly string[]): void => {
      if (state.get(file) === 'done') return;
      if (state.get(file) === 'open') {
        cycles.push([...trail.slice(trail.indexOf(file)), file].join(' -> '));
        return;
      }
      state.set(file, 'open');
      for (const next of graph.get(file) ?? []) walk(next, [...trail, file]);
      state.set(file, 'done');
    };
    for (const file of files) walk(file, []);
    expect(cycles).toEqual([]);
  });

  it('keeps files short: none over 300 lines, median under 100', () => {
    const lengths = files.map(
      (file) => [file, readFileSync(path.join(root, file), 'utf8').split('\n').length] as const,
    );
    expect(lengths.filter(([, length]) => length > 301)).toEqual([]);
    const sorted = lengths.map(([, length]) => length).sort((first, second) => first - second);
    expect(sorted[Math.floor(sorted.length / 2)]).toBeLessThanOrEqual(110);
  });

  it('lets no pure folder touch files, clock or console', () => {
    const pure = [
      'model',
      'numeric',
      'motion',
      'colour',
      'light',
      'spectra',
      'reaction',
      'kinetics',
      'judge',
      'match',
      'find',
      'report',
      'simulate',
      'plan',
    ];
    const forbidden = /\b(console\.|process\.|Date\.now|new Date\(\)|performance\.now|Math\.random)/;
    const offences = files
      .filter((file) => pure.includes(folderOf(file)))
      .filter((file) => forbidden.test(readFileSync(path.join(root, file), 'utf8')));
    expect(offences).toEqual([]);
  });
});
