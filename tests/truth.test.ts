import { appendFile, mkdtemp, readdir, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { oneRun } from '../scripts/truth/one-run.ts';
import { falselyReacted, falselyResisted } from '../scripts/truth/outcomes.ts';
import { studyFiles } from '../scripts/truth/report.ts';
import { clusteredShare } from '../scripts/truth/statistics.ts';
import type { RunScore } from '../scripts/truth/score.ts';
import { openWorkFile } from '../scripts/truth/work-file.ts';

let scores: readonly RunScore[];
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(path.join(os.tmpdir(), 'vialapse-truth-test-'));
  // a usual rack of the second physics and one with mixtures of the forward model
  scores = [
    await oneRun({ level: 'curve', index: 0, seed: 'test' }),
    await oneRun({ level: 'curve', index: 1, seed: 'test' }),
  ];
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe('truth study', () => {
  it('scores runs of both sources against their truth', () => {
    expect(scores.map(({ rack, source }) => [rack, source])).toEqual([
      ['usual', 'second physics'],
      ['mixtures', 'forward model'],
    ]);
    for (const score of scores) {
      expect(score.samples.map(({ label }) => label)).toEqual(['clean', 'trace', 'dirty', 'wrong', 'delayed', 'inert']);
      expect(score.readings).toHaveLength(12);
      expect(score.firstOrder).toBe(3);
      // far looser than the study's goals: a mix-up of vials or clocks shows, chance does not
      expect(score.medianError).toBeGreaterThan(0);
      expect(score.medianError).toBeLessThan(0.05);
      expect(score.samples.filter((sample) => falselyReacted(sample) || falselyResisted(sample))).toEqual([]);
    }
  });

  it('tells false outcomes by the true difference', () => {
    const sample = { label: 'trace', reason: '' };
    expect(falselyReacted({ ...sample, difference: 0.04, outcome: 'reacted' })).toBe(true);
    expect(falselyReacted({ ...sample, difference: 0.06, outcome: 'reacted' })).toBe(false);
    expect(falselyResisted({ ...sample, difference: 0.06, outcome: 'resisted' })).toBe(true);
    expect(falselyResisted({ ...sample, difference: 0.04, outcome: 'undecided' })).toBe(false);
  });

  it('goes on from its work file, a torn line left out', async () => {
    const first = await openWorkFile(folder, 'test');
    await first.append(scores[0]!);
    const [file] = await readdir(folder);
    await appendFile(path.join(folder, file!), '{"level":"cur');
    const second = await openWorkFile(folder, 'test');
    expect(second.scores).toEqual([scores[0]]);
    await second.append(scores[1]!);
    expect((await openWorkFile(folder, 'test')).scores).toEqual(scores);
    expect((await openWorkFile(folder, 'other')).scores).toEqual([]);
  });

  it('clusters standard errors by run', () => {
    // two runs, all hit and all missed: one half, and the vials within tell nothing new
    const share = clusteredShare([
      [true, true, true, true],
      [false, false, false, false],
    ]);
    expect(share).toMatchObject({ hits: 4, of: 8 });
    expect(share.se).toBeCloseTo(0.5, 12);
    expect(clusteredShare([[true, false]]).se).toBeNull();
  });

  it('writes the report with seed, counts and plots, and says what is missing', () => {
    const files = studyFiles(scores, { seed: 'test', curves: 4, images: 0, edges: 0, failures: ['curve 3: broken'] });
    expect(files.map(({ path: name }) => name)).toEqual([
      'truth.md',
      'truth/extent.svg',
      'truth/rates.svg',
      'truth/power.svg',
    ]);
    const text = files[0]!.content;
    expect(text).toContain('Seed `test`');
    expect(text).toContain('2 runs at curve level (of 4 asked)');
    expect(text).toContain('1 runs ended with an error');
    for (const { content } of files) expect(content).not.toContain('NaN');
  });
});
