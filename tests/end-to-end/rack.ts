import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll } from 'vitest';
import { loadReaction, loadRun } from '../../src/files/index.ts';
import { encodePng } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { AnalyseRequest } from '../../src/analyse-request.ts';
import { type AnalysedRun, analyseRun } from '../../src/pipeline.ts';
import { createScenario, exampleRun } from '../../src/simulate/index.ts';

/** A small modelled rack: what must react, what must not, a slow sample and a clean one. */
export const scenario = createScenario({
  name: 'rack',
  seed: 21,
  frame: { width: 640, height: 360 },
  frameCount: 32,
  intervalS: 300,
  rack: { rows: 2, columns: 3 },
  reading: { readAtS: 7200 },
  vials: [
    { label: 'reagent only', role: 'blank', kinetics: { model: 'none' } },
    { label: '1-butanol', role: 'positive', kinetics: { model: 'first-order', k: 1e-3 } },
    { label: 'tert-butanol', role: 'negative', kinetics: { model: 'zero-order', rate: 5e-7 } },
    { label: 'tert-butanol', role: 'negative', kinetics: { model: 'zero-order', rate: 5e-7 } },
    { label: 'tert-butanol', role: 'negative', kinetics: { model: 'zero-order', rate: 5e-7 } },
    { label: 'recovered lot 3', role: 'sample', kinetics: { model: 'first-order', k: 3e-4 } },
  ],
});

/** A rectangle of rig.json; those of the modelled racks are of no other kind. */
export interface Rect {
  x: number;
  y: number;
  width: number;
  height: number;
}
export interface RigFile {
  frame: { width: number; height: number };
  regions: Rect[];
  white: Rect[];
}
export interface RunFile {
  source: unknown;
  timing: object;
  read_at_s: number;
  vials: { added_run_s: number }[];
  [key: string]: unknown;
}

/** A folder of one test file, removed at its end; makes folders in it. */
export function benchFolder(): (name: string) => string {
  const root = mkdtempSync(path.join(tmpdir(), 'vialapse-end-'));
  afterAll(() => rmSync(root, { recursive: true, force: true }));
  return (name) => {
    const folder = path.join(root, name);
    mkdirSync(folder, { recursive: true });
    return folder;
  };
}

/** Pictures as PNG in a folder. */
export async function writePngs(folder: string, pictures: readonly RgbImage[]): Promise<void> {
  mkdirSync(folder, { recursive: true });
  for (const [index, picture] of pictures.entries())
    writeFileSync(path.join(folder, `${String(index).padStart(3, '0')}.png`), await encodePng(picture));
}

/** Writes rig.json and run.yaml on this source; `change` may alter both; the run file. */
export function writeRun(
  folder: string,
  source: string,
  change: (files: { rig: RigFile; run: RunFile }) => void = () => undefined,
  on = scenario,
): string {
  const files = structuredClone(exampleRun(on, { source, rig: 'rig.json' })) as unknown as {
    rig: RigFile;
    run: RunFile;
  };
  change(files);
  writeFileSync(path.join(folder, 'rig.json'), JSON.stringify(files.rig));
  const file = path.join(folder, 'run.yaml');
  writeFileSync(file, JSON.stringify(files.run));
  return file;
}

export async function requestOn(runFile: string, at = new Date(0)): Promise<AnalyseRequest> {
  const run = await loadRun(runFile);
  return {
    run,
    reaction: await loadReaction(run.reaction.file),
    ...{ glance: false, untilS: null, version: 'test', cacheDir: null, inputs: [], chartSha256: null },
    clock: () => at,
    baseDir: path.dirname(runFile),
  };
}

export async function analysed(runFile: string, at?: Date): Promise<AnalysedRun> {
  return analyseRun(await requestOn(runFile, at));
}
