import { mkdtempSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { buildPage } from '../../scripts/build-page.mjs';
import { openSession, startRigServer, type RigServer, type SaveAnswer } from '../../src/rig-page/index.ts';
import { drawnAccess } from './drawn-rack.ts';

export const temporaryFolder = (): string => mkdtempSync(path.join(os.tmpdir(), 'vialapse-rig-'));

let built: Promise<string> | null = null;
/** The page bundled from the present sources. */
export function builtPage(): Promise<string> {
  built ??= (async () => {
    const folder = temporaryFolder();
    await buildPage(folder);
    return folder;
  })();
  return built;
}

export interface Served {
  readonly server: RigServer;
  readonly folder: string;
  readonly rigFile: string;
  readonly saves: SaveAnswer[];
}

/** Serves the drawn rack, its files going to a folder of their own. */
export async function serveDrawn(options: { folder?: string; find?: boolean; graceMs?: number } = {}): Promise<Served> {
  const folder = options.folder ?? temporaryFolder();
  const rigFile = path.join(folder, 'rig.json');
  const access = drawnAccess();
  const sourceFile = path.join(folder, 'overnight.mp4');
  writeFileSync(sourceFile, '');
  const saves: SaveAnswer[] = [];
  const server = await startRigServer(
    {
      access,
      start: await openSession(access.facts, { sourceFile, rigFile }, options.find ?? false),
      folder: { rigFile, own: new Map() },
      place: folder,
      saved: (answer) => void saves.push(answer),
    },
    { assets: await builtPage(), graceMs: options.graceMs ?? 60_000 },
  );
  return { server, folder, rigFile, saves };
}
