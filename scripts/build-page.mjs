// Bundles the placing page into a folder: one script, one style sheet, one HTML file; nothing from the network.
import { copyFileSync, mkdirSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const page = path.join(path.dirname(fileURLToPath(import.meta.url)), '..', 'src', 'rig-page', 'page');

export async function buildPage(folder) {
  mkdirSync(folder, { recursive: true });
  await build({
    entryPoints: [path.join(page, 'main.ts')],
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2022',
    outfile: path.join(folder, 'page.js'),
    logLevel: 'warning',
  });
  await build({
    entryPoints: [path.join(page, 'style.css')],
    bundle: true,
    minify: true,
    outfile: path.join(folder, 'style.css'),
    logLevel: 'warning',
  });
  copyFileSync(path.join(page, 'index.html'), path.join(folder, 'index.html'));
}
