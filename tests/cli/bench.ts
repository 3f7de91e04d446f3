import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, vi } from 'vitest';
import { main } from '../../src/cli/main.ts';
import { encodeJpeg } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import { reactionText } from '../files/workspace.ts';

export const frame = { width: 160, height: 96 } as const;

/** A folder of this test file's own, removed afterwards. */
export function bench(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-cli-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** What the command line answered, printed and wrote to the terminal. */
export async function vialapse(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const texts = { out: '', err: '' };
  const catching = (which: 'out' | 'err') => (chunk: string | Uint8Array) => {
    texts[which] += String(chunk);
    return true;
  };
  const out = vi.spyOn(process.stdout, 'write').mockImplementation(catching('out'));
  const err = vi.spyOn(process.stderr, 'write').mockImplementation(catching('err'));
  try {
    return { code: await main(argv), ...texts };
  } finally {
    out.mockRestore();
    err.mockRestore();
  }
}

/** Four vials on grey: the second and third turn from orange to green, the others stay; no two frames have one grain. */
export function picture(share: number, index = 0): RgbImage {
  const data = new Uint8Array(frame.width * frame.height * 3).fill(200);
  for (let y = 30; y < 80; y += 1) {
    for (let x = 0; x < frame.width; x += 1) {
      const vial = Math.floor(x / 40);
      if (x % 40 < 8 || x % 40 >= 32) continue;
      const turned = vial === 1 || vial === 2 ? share : 0;
      const noise = ((x * 7 + y * 13 + Math.round(share * 100) * 11 + index * 17) % 5) - 2;
      data.set(
        [220 - 150 * turned + noise, 140 - 20 * turned + noise, 20 + 60 * turned + noise],
        3 * (y * frame.width + x),
      );
    }
  }
  return { ...frame, data };
}

export const region = (id: string, vial: number) => ({
  id,
  shape: 'rect',
  x: vial * 40 + 12,
  y: 35,
  width: 16,
  height: 40,
});

export interface RunParts {
  readonly source: string;
  readonly rig?: object;
  readonly vials?: string;
  readonly more?: string;
}

/** Writes run.yaml, rig.json and a reaction without spectra beside the source; the run file. */
export function writeRunFile(folder: string, parts: RunParts): string {
  const rig = {
    schema: 'vialapse/rig@1',
    name: 'small',
    frame,
    regions: ['A1', 'A2', 'A3', 'A4'].map(region),
    white: [{ id: 'W', shape: 'rect', x: 10, y: 4, width: 60, height: 16 }],
    ...parts.rig,
  };
  writeFileSync(path.join(folder, 'rig.json'), JSON.stringify(rig, null, 2));
  writeFileSync(path.join(folder, 'reaction.json'), reactionText);
  const vials =
    parts.vials ??
    `  - { region: A1, label: reagent only, role: blank, added_run_s: 0 }
  - { region: A2, label: reference, role: positive, added_run_s: 0 }
  - { region: A3, label: dirty lot, role: sample, added_run_s: 0 }
  - { region: A4, label: clean reference, role: negative, added_run_s: 0 }
`;
  const text = `schema: vialapse/run@1
name: small
rig: rig.json
source: ${parts.source}
timing: { interval_s: 60 }
reaction: ./reaction.json
${parts.more ?? ''}vials:
${vials}`;
  const file = path.join(folder, 'run.yaml');
  writeFileSync(file, text);
  return file;
}

/** A folder of JPEG stills that turn over time; its name. */
export async function writeStills(folder: string, count: number): Promise<string> {
  mkdirSync(path.join(folder, 'stills'), { recursive: true });
  for (let index = 0; index < count; index += 1) {
    const jpeg = await encodeJpeg(picture(1 - Math.exp(-index / 6), index), { quality: 95 });
    writeFileSync(path.join(folder, 'stills', `${String(index).padStart(3, '0')}.jpg`), jpeg);
  }
  return 'stills';
}
