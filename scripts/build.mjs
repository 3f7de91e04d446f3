// Builds dist/ from src/: types and modules by tsc, the placing page by esbuild when its entry exists.
import { execFileSync } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import path from 'node:path';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const tsc = path.join(root, 'node_modules', 'typescript', 'bin', 'tsc');
rmSync(path.join(root, 'dist'), { recursive: true, force: true });
execFileSync(process.execPath, [tsc, '-p', path.join(root, 'tsconfig.build.json')], { stdio: 'inherit', cwd: root });

const pageEntry = path.join(root, 'src', 'rig-page', 'page', 'main.ts');
if (existsSync(pageEntry)) {
  const { build } = await import('esbuild');
  await build({
    entryPoints: [pageEntry],
    bundle: true,
    minify: true,
    format: 'iife',
    target: 'es2022',
    outfile: path.join(root, 'dist', 'rig-page', 'page.js'),
  });
}
