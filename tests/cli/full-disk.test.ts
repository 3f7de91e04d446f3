import { spawnSync } from 'node:child_process';
import { existsSync, openSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { bench, writeRunFile, writeStills } from './bench.ts';

// The built program on a disk with so many bytes left: every file it writes goes through a file handle, and that refuses.
const program = path.resolve(import.meta.dirname, '..', '..', 'bin', 'vialapse');
const root = bench();
const fullDisk = path.join(root, 'full-disk.mjs');
const out = path.join(root, 'reports', 'small');
let run: string;

beforeAll(async () => {
  run = writeRunFile(root, { source: await writeStills(root, 20), more: 'read_at_s: 900\n' });
  writeFileSync(
    fullDisk,
    `import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
const { open } = fs.promises;
let left = Number(process.env.BYTES_LEFT);
fs.promises.open = async (...given) => {
  const handle = await open(...given);
  const write = handle.writeFile.bind(handle);
  handle.writeFile = async (content, ...more) => {
    left -= Buffer.byteLength(content);
    if (left < 0) throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
    return write(content, ...more);
  };
  return handle;
};
syncBuiltinESMExports();
`,
  );
});

function vialapse(bytesLeft: number, ...argv: string[]): { readonly code: number | null; readonly err: string } {
  const env = { ...process.env, BYTES_LEFT: String(bytesLeft) };
  const preload = ['--import', pathToFileURL(fullDisk).href];
  const { status, stderr } = spawnSync(process.execPath, [...preload, program, ...argv], { env, encoding: 'utf8' });
  return { code: status, err: stderr };
}

function contents(folder: string): Record<string, string> {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    statSync(path.join(folder, name)).isFile(),
  );
  return Object.fromEntries(files.sort().map((name) => [name, readFileSync(path.join(folder, name), 'latin1')]));
}

/** Everything beside the reports that a writer leaves while it works. */
const halfWritten = (): readonly string[] =>
  Object.keys(contents(path.join(root, 'reports'))).filter((name) => /\.(new|old)\b/.test(name));

describe('a full disk', () => {
  it('leaves the report as it was, whole, and says once what to do', () => {
    expect([0, 3]).toContain(vialapse(Infinity, 'analyse', run, '--out', out).code);
    const before = contents(out);
    writeFileSync(run, readFileSync(run, 'utf8').replace('dirty lot', 'lot 11'));
    for (const bytesLeft of [0, 5_000, 100_000]) {
      const { code, err } = vialapse(bytesLeft, 'analyse', run, '--out', out);
      expect(code, err).toBe(1);
      expect(err.match(/cannot be written: ENOSPC/g), err).toHaveLength(1);
      expect(err).toContain('free some space on that disk');
      expect(contents(out)).toEqual(before);
      expect(halfWritten()).toEqual([]);
    }
    expect([0, 3]).toContain(vialapse(Infinity, 'analyse', run, '--out', out).code);
    expect(contents(out)['result.json']).toContain('lot 11');
  });

  it('before the first report leaves none, and the next call ends as if nothing had been', () => {
    const fresh = path.join(root, 'fresh', 'small');
    const { code, err } = vialapse(1_000, 'analyse', run, '--out', fresh);
    expect(code, err).toBe(1);
    expect(existsSync(fresh)).toBe(false);
    expect([0, 3]).toContain(vialapse(Infinity, 'analyse', run, '--out', fresh).code);
    expect(contents(fresh)['rates.csv']).toBe(contents(out)['rates.csv']);
  });

  it('in a batch is told for the run and for the overview', () => {
    const { code, err } = vialapse(0, 'batch', run, '--out', path.join(root, 'batch'));
    expect(code).toBe(1);
    expect(err).toContain('small: FAILED');
    expect(err.replace(/\s+/g, ' ')).toMatch(/1 failed small: .* cannot be written: ENOSPC.* to do: free some space/);
    expect(err).toMatch(/overview\.csv cannot be written/);
  });

  it.skipIf(!existsSync('/dev/full'))('where the output goes to is told in one message, exit code 1', () => {
    const { status, stderr } = spawnSync(process.execPath, [program, 'analyse', run, '--out', out, '--json'], {
      ...{ stdio: ['ignore', openSync('/dev/full', 'w'), 'pipe'] },
      encoding: 'utf8',
    });
    expect(status).toBe(1);
    expect(stderr).toContain('the output cannot be written: ENOSPC');
    expect(stderr).not.toContain('    at ');
  });
});
