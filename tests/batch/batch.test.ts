import { execFile, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Overview } from '../../src/model/overview.ts';
import { bench, writeRunFile, writeStills } from '../cli/bench.ts';

// Every batch here is the built program, with real `analyse` processes: what is killed is what a bench would kill.
const program = path.resolve(import.meta.dirname, '..', '..', 'bin', 'vialapse');
const root = bench();
const names = ['lot-1', 'lot-2', 'lot-3'];
/** Not the program of the same name in moreutils. */
const gnuParallel = (spawnSync('parallel', ['--version'], { encoding: 'utf8' }).stdout ?? '').startsWith(
  'GNU parallel',
);
const runFile = (name: string): string => path.join(root, name, 'run.yaml');

beforeAll(async () => {
  for (const name of names) {
    const folder = path.join(root, name);
    mkdirSync(folder);
    const file = writeRunFile(folder, { source: await writeStills(folder, 20), more: 'read_at_s: 900\n' });
    writeFileSync(file, readFileSync(file, 'utf8').replace('name: small', `name: ${name}`));
  }
});

function vialapse(...argv: string[]): Promise<{ code: number; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [program, ...argv], (error, _, err) => {
      resolve({ code: error === null ? 0 : Number(error.code), err });
    });
  });
}

const allRuns = (): readonly string[] => names.map(runFile);
const overviewOf = (out: string): Overview =>
  JSON.parse(readFileSync(path.join(out, 'overview.json'), 'utf8')) as Overview;

/** Every file below a folder but locks and what is known of films (it is kept only of those that lay still for some seconds), without the time of making. */
function contents(out: string): Record<string, string> {
  const files = readdirSync(out, { recursive: true, encoding: 'utf8' }).filter(
    (name) => statSync(path.join(out, name)).isFile() && !/\b(locks|sources)\b/.test(name),
  );
  return Object.fromEntries(
    files
      .sort()
      .map((name) => [name, readFileSync(path.join(out, name), 'utf8').replace(/"at":\s*"[^"]+"/, '"at":""')]),
  );
}

const measurements = (out: string): readonly string[] =>
  readdirSync(path.join(out, '.vialapse'))
    .filter((name) => /^[0-9a-f]{32}$/.test(name))
    .sort();

describe('batch', () => {
  const whole = path.join(root, 'whole');

  it('killed at several moments, ends with the same files; finished ones are not touched again', async () => {
    const first = await vialapse('batch', ...allRuns(), '--out', whole, '--jobs', '2');
    expect([0, 3]).toContain(first.code);
    const out = path.join(root, 'killed');
    const finishedAt = new Map<string, number>();
    for (const afterMs of [700, 1500, 2500]) {
      const child = spawn(process.execPath, [program, 'batch', ...allRuns(), '--out', out], {
        detached: true,
        stdio: 'ignore',
      });
      const gone = new Promise((resolve) => child.once('exit', resolve));
      await Promise.race([wait(afterMs), gone]);
      try {
        process.kill(-child.pid!, 'SIGKILL');
      } catch {
        // It had ended by itself.
      }
      await gone;
      for (const name of names) {
        const at = statSync(path.join(out, name, 'result.json'), { throwIfNoEntry: false })?.mtimeMs;
        if (at === undefined) continue;
        expect(finishedAt.get(name) ?? at).toBe(at);
        finishedAt.set(name, at);
      }
    }
    expect((await vialapse('batch', ...allRuns(), '--out', out)).code).toBe(first.code);
    for (const [name, at] of finishedAt) expect(statSync(path.join(out, name, 'result.json')).mtimeMs).toBe(at);
    expect(contents(out)).toEqual(contents(whole));
  });

  it('judges an edited label and reading time anew without measuring, and keeps what was said before', async () => {
    const kept = statSync(path.join(whole, 'lot-2', 'result.json')).mtimeMs;
    const measured = measurements(whole);
    const text = readFileSync(runFile('lot-1'), 'utf8');
    writeFileSync(runFile('lot-1'), text.replace('read_at_s: 900', 'read_at_s: 60').replace('dirty lot', 'lot 11'));
    await vialapse('batch', ...allRuns(), '--out', whole);
    writeFileSync(runFile('lot-1'), text);
    expect(measurements(whole)).toEqual(measured);
    expect(statSync(path.join(whole, 'lot-2', 'result.json')).mtimeMs).toBe(kept);
    const row = overviewOf(whole).rows.find(({ name }) => name === 'lot-1')!;
    expect(row.judged_before).toBe(1);
    expect(row.changed).toContain('lot 11: new');
    const record = readFileSync(path.join(whole, 'lot-1', 'judgements.json'), 'utf8');
    expect(record).toContain('read_at_s 900 -> 60');
    expect(record).toContain('A3 label dirty lot -> lot 11');
    expect(readFileSync(path.join(whole, 'lot-1', 'report.html'), 'utf8')).toContain('Judged once before');
  });

  it('goes on after a broken run and says at the end what failed', async () => {
    const bad = path.join(root, 'bad.yaml');
    writeFileSync(bad, 'schema: vialapse/run@1\nname: bad\n');
    const { code, err } = await vialapse('batch', bad, runFile('lot-2'), '--out', whole);
    expect(code).toBe(2);
    expect(err).toContain('lot-2: as before');
    expect(err.slice(err.indexOf('1 failed'))).toContain('bad.yaml');
    expect(readFileSync(path.join(whole, 'overview.html'), 'utf8')).toContain('not read');
  });

  it('two batches on one folder at once do each run once', async () => {
    const out = path.join(root, 'both');
    const both = await Promise.all([1, 2].map(() => vialapse('batch', ...allRuns(), '--out', out)));
    expect(both[0]!.code).toBe(both[1]!.code);
    const made = both.map(({ err }) => (err.match(/: done/g) ?? []).length);
    expect(made[0]! + made[1]!).toBe(names.length);
    expect(overviewOf(out).rows.map(({ name }) => name)).toEqual(names);
  });

  it('refuses two runs of one name', async () => {
    const twin = path.join(root, 'lot-1', 'twin.yaml');
    writeFileSync(twin, readFileSync(runFile('lot-1'), 'utf8'));
    const { code, err } = await vialapse('batch', runFile('lot-1'), twin, '--out', path.join(root, 'twins'));
    expect(code).toBe(2);
    expect(err).toContain('two runs are called "lot-1"');
  });

  it('parts together make what one batch makes', async () => {
    const out = path.join(root, 'parts');
    for (const part of ['1/2', '2/2']) await vialapse('batch', ...allRuns(), '--out', out, '--shard', part);
    await vialapse('batch', '--collect', '--out', out);
    expect(overviewOf(out)).toEqual(overviewOf(path.join(root, 'both')));
  });

  it('joined with a part missing, tells which of the named runs have no report', async () => {
    const out = path.join(root, 'one-part');
    await vialapse('batch', ...allRuns(), '--out', out, '--shard', '1/2');
    const done = readdirSync(out).filter((name) => !name.startsWith('.'));
    expect(done.length).toBeGreaterThan(0);
    expect(done.length).toBeLessThan(names.length);
    const { code, err } = await vialapse('batch', ...allRuns(), '--collect', '--out', out);
    expect(code).toBe(1);
    for (const row of overviewOf(out).rows) {
      expect(row.failure === null, row.name).toBe(done.includes(row.name));
      if (row.failure !== null) expect(err).toContain(`${row.name}:\n    no report`);
    }
    expect(overviewOf(out).rows).toHaveLength(names.length);
  });

  it.skipIf(!gnuParallel)('parts done by GNU parallel make what one batch makes', async () => {
    const out = path.join(root, 'parallel');
    const part = `node ${program} batch '${path.join(root, 'lot-?', 'run.yaml')}' --out ${out} --shard {}/3`;
    const ended = spawnSync('parallel', ['--will-cite', part, ':::', '1', '2', '3'], { encoding: 'utf8' });
    expect(ended.status === 0 || ended.stderr.includes('controls failed'), ended.stderr).toBe(true);
    await vialapse('batch', ...allRuns(), '--collect', '--out', out);
    expect(overviewOf(out)).toEqual(overviewOf(path.join(root, 'both')));
  });

  it('knows every film that has not been touched, also where runs name theirs alike', async () => {
    const out = path.join(root, 'both');
    await vialapse('batch', ...allRuns(), '--out', out);
    expect(readdirSync(path.join(out, '.vialapse', 'sources'))).toHaveLength(names.length);
  });
});
