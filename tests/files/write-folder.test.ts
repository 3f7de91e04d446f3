import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeFileAtomically, writeReportFolder } from '../../src/files/index.ts';
import { refusal, workspace } from './workspace.ts';

const root = workspace();
let count = 0;
function parent(): string {
  count += 1;
  const made = path.join(root, String(count));
  mkdirSync(made);
  return made;
}
const resultOf = (mark: string): string => JSON.stringify({ schema: 'vialapse/result@1', made: mark });
const filesOf = (mark: string) => [
  { path: 'result.json', content: resultOf(mark) },
  { path: 'charts/a.svg', content: '<svg/>' },
];
const markIn = (folder: string): string =>
  (JSON.parse(readFileSync(path.join(folder, 'result.json'), 'utf8')) as { made: string }).made;

describe('writeReportFolder', () => {
  it('writes a new folder, parents included, and leaves nothing beside it', async () => {
    const at = parent();
    await writeReportFolder(path.join(at, 'reports', 'lot'), filesOf('first'));
    expect(markIn(path.join(at, 'reports', 'lot'))).toBe('first');
    expect(readdirSync(path.join(at, 'reports'))).toEqual(['lot']);
  });

  it('replaces an earlier report, drops its charts, and keeps what the user put there', async () => {
    const target = path.join(parent(), 'lot');
    await writeReportFolder(target, [...filesOf('first'), { path: 'charts/old.svg', content: '<svg/>' }]);
    mkdirSync(path.join(target, 'mine'));
    writeFileSync(path.join(target, 'mine', 'notes.txt'), 'shaken at noon');
    await writeReportFolder(target, filesOf('second'));
    expect(markIn(target)).toBe('second');
    expect(readdirSync(path.join(target, 'charts'))).toEqual(['a.svg']);
    expect(readFileSync(path.join(target, 'mine', 'notes.txt'), 'utf8')).toBe('shaken at noon');
  });

  it('fills an empty folder', async () => {
    const target = parent();
    await writeReportFolder(target, filesOf('first'));
    expect(markIn(target)).toBe('first');
  });

  it.each<[string, (target: string) => void, string]>([
    [
      'a folder of somebody else',
      (target) => (mkdirSync(target), writeFileSync(path.join(target, 'a.txt'), 'a')),
      'out-not-ours',
    ],
    [
      'a result of another tool',
      (target) => (mkdirSync(target), writeFileSync(path.join(target, 'result.json'), '{"schema":"x"}')),
      'out-not-ours',
    ],
    ['a file', (target) => writeFileSync(target, 'a'), 'out-not-folder'],
    ['a link to nowhere', (target) => symlinkSync('/nowhere/at/all', target), 'out-not-folder'],
  ])('refuses %s and touches nothing', async (_, make, code) => {
    const at = parent();
    const target = path.join(at, 'lot');
    make(target);
    const before = readdirSync(at, { recursive: true });
    expect((await refusal(writeReportFolder(target, filesOf('new')))).code).toBe(code);
    expect(readdirSync(at, { recursive: true })).toEqual(before);
  });

  it('refuses a place below a file', async () => {
    const at = parent();
    writeFileSync(path.join(at, 'file'), 'a');
    expect((await refusal(writeReportFolder(path.join(at, 'file', 'lot'), filesOf('new')))).code).toBe(
      'out-not-folder',
    );
  });

  it('follows a link to a folder and leaves it a link', async () => {
    const at = parent();
    await writeReportFolder(path.join(at, 'real'), filesOf('first'));
    symlinkSync(path.join(at, 'real'), path.join(at, 'link'));
    await writeReportFolder(path.join(at, 'link'), filesOf('second'));
    expect(markIn(path.join(at, 'real'))).toBe('second');
    expect(readdirSync(at).sort()).toEqual(['link', 'real']);
  });

  it('never writes outside the folder', async () => {
    const at = parent();
    await expect(writeReportFolder(path.join(at, 'lot'), [{ path: '../out.txt', content: 'a' }])).rejects.toThrow(
      'not a path inside',
    );
    expect(readdirSync(at)).toEqual([]);
  });

  it('lets writers of the same folder both end, one of them winning whole', async () => {
    const at = parent();
    const target = path.join(at, 'lot');
    await Promise.all(['a', 'b', 'c', 'd'].map((mark) => writeReportFolder(target, filesOf(mark))));
    expect(['a', 'b', 'c', 'd']).toContain(markIn(target));
    expect(readdirSync(at)).toEqual(['lot']);
  });
});

describe('writeFileAtomically', () => {
  it('replaces a file, makes its folder, follows links, refuses folders', async () => {
    const at = parent();
    const file = path.join(at, 'deep', 'a.txt');
    await writeFileAtomically(file, 'first');
    symlinkSync(file, path.join(at, 'link'));
    await writeFileAtomically(path.join(at, 'link'), 'second');
    expect(readFileSync(file, 'utf8')).toBe('second');
    expect((await refusal(writeFileAtomically(at, 'x'))).code).toBe('out-is-folder');
    expect(readdirSync(path.join(at, 'deep'))).toEqual(['a.txt']);
  });
});
