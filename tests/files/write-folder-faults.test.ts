import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { MachineError } from '../../src/errors.ts';
import { workspace } from './workspace.ts';

/** The disk as the writer sees it: at step `failAt` it fails once, or (`dies`) nothing works any more. */
const disk = vi.hoisted(() => ({ failAt: Infinity, dies: false, steps: 0, dead: false }));

vi.mock('node:fs/promises', async (importOriginal) => {
  const original = await importOriginal<Record<string, unknown>>();
  const steps = new Set(['mkdir', 'open', 'rename', 'rm', 'cp']);
  const wrapped = Object.entries(original)
    .filter(([, value]) => typeof value === 'function')
    .map(([name, value]) => [
      name,
      async (...parameters: unknown[]) => {
        if (disk.dead) throw new Error('the process is dead');
        if (steps.has(name)) disk.steps += 1;
        if (steps.has(name) && disk.steps === disk.failAt) {
          if (disk.dies) disk.dead = true;
          throw Object.assign(new Error('ENOSPC: no space left on device'), { code: 'ENOSPC' });
        }
        return (value as (...all: unknown[]) => Promise<unknown>)(...parameters);
      },
    ]);
  return { ...original, ...(Object.fromEntries(wrapped) as Record<string, unknown>) };
});

const root = workspace();
const filesOf = (mark: string) => [
  { path: 'result.json', content: JSON.stringify({ schema: 'vialapse/result@1', made: mark }) },
  { path: 'charts/a.svg', content: '<svg/>' },
];
const markIn = (folder: string): string =>
  (JSON.parse(readFileSync(path.join(folder, 'result.json'), 'utf8')) as { made: string }).made;

/** The writing module as a new process would load it: it knows nothing of what an earlier one left. */
async function newProcess() {
  vi.resetModules();
  Object.assign(disk, { failAt: Infinity, dies: false, steps: 0, dead: false });
  return import('../../src/files/index.ts');
}

/** Writes over an old report with the disk failing at `step`; what the writer said, `null` when it ended well. */
async function overwrite(at: string, step: number, dies: boolean): Promise<unknown> {
  const target = path.join(at, 'lot');
  const { writeReportFolder } = await newProcess();
  mkdirSync(at);
  await writeReportFolder(target, filesOf('old'));
  Object.assign(disk, { failAt: step, dies, steps: 0 });
  return writeReportFolder(target, filesOf('new')).then(
    () => null,
    (error: unknown) => error,
  );
}

describe('a report being replaced', () => {
  let count = 0;
  beforeEach(() => Object.assign(disk, { failAt: Infinity, dies: false, dead: false }));
  const place = (): string => path.join(root, String((count += 1)));

  it('is the old or the new one wherever the writer dies, and the next writer tidies up', async () => {
    const marks: string[] = [];
    for (let step = 1; ; step += 1) {
      const at = place();
      const fault = await overwrite(at, step, true);
      if (fault === null) break;
      const { recoverFolder } = await newProcess();
      await recoverFolder(path.join(at, 'lot'));
      marks.push(markIn(path.join(at, 'lot')));
      expect(existsSync(path.join(at, 'lot', 'charts', 'a.svg')), `step ${step}`).toBe(true);
      expect(readdirSync(at), `step ${step}`).toEqual(['lot']);
    }
    expect(marks.length).toBeGreaterThan(9);
    expect(marks.join(' ')).toMatch(/^(old )+new( new)*$/);
  });

  it('stays the old one when the disk is full, and the message says what to do', async () => {
    for (let step = 1; ; step += 1) {
      const at = place();
      const fault = await overwrite(at, step, false);
      if (fault === null) break;
      expect((fault as Error).name).toBe(MachineError.name);
      expect((fault as MachineError).hint).toContain('free some space');
      expect(['old', 'new']).toContain(markIn(path.join(at, 'lot')));
      expect(
        readdirSync(at).filter((name) => !name.includes('.old-')),
        `step ${step}`,
      ).toEqual(['lot']);
    }
  });
});
