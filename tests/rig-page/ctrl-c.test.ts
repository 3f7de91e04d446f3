import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, it } from 'vitest';
import { encodeJpeg } from '../../src/frames/index.ts';
import { drawRack } from './drawn-rack.ts';
import { temporaryFolder } from './serve.ts';

it(
  'the command ends with Ctrl-C, says that nothing was saved, and leaves nothing behind',
  { timeout: 120_000 },
  async () => {
    const folder = temporaryFolder();
    const stills = path.join(folder, 'stills');
    const { mkdirSync, readdirSync } = await import('node:fs');
    mkdirSync(stills);
    for (const index of [0, 1]) {
      writeFileSync(path.join(stills, `${index}.jpg`), await encodeJpeg(drawRack(index), { quality: 90 }));
    }
    const main = path.resolve(import.meta.dirname, '../../src/cli/main.ts');
    const start = `import { main } from ${JSON.stringify(pathToFileURL(main).href)}; process.exitCode = await main(process.argv.slice(1));`;
    const command = spawn(
      process.execPath,
      ['--import', 'tsx', '--input-type=module', '--eval', start, '--', 'rig', stills, '--no-open', '--json'],
      {
        cwd: path.resolve(import.meta.dirname, '../..'),
      },
    );
    let [said, printed] = ['', ''];
    command.stdout.on('data', (part: Buffer) => (printed += part.toString()));
    const address = await new Promise<string>((resolve, reject) => {
      command.stderr.on('data', (part: Buffer) => {
        said += part.toString();
        const url = /http:\/\/127\.0\.0\.1:\d+\/\?token=\S+/u.exec(said)?.[0];
        if (url !== undefined) resolve(url);
      });
      command.on('exit', () => reject(new Error(said)));
    });
    const headers = { 'x-vialapse-token': new URL(address).searchParams.get('token') ?? '' };
    expect((await fetch(new URL('/start', address), { headers })).status).toBe(200);
    const ended = new Promise<number | null>((resolve) => command.on('exit', resolve));
    command.kill('SIGINT');
    expect(await ended).toBe(0);
    await expect(fetch(address)).rejects.toThrow();
    expect(said).toContain('nothing was saved');
    expect(JSON.parse(printed)).toEqual({ saved: false, files: [], next: null });
    expect(readdirSync(folder)).toEqual(['stills']);
  },
);
