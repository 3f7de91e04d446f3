// Builds dist/ from src/: types and modules by tsc, the placing page and the command line by esbuild.
import { execFileSync } from 'node:child_process';
import { rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import path from 'node:path';
import { buildPage } from './build-page.mjs';
import { buildProgram } from './build-program.mjs';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const tsc = path.join(root, 'node_modules', 'typescript', 'bin', 'tsc');
rmSync(path.join(root, 'dist'), { recursive: true, force: true });
execFileSync(process.execPath, [tsc, '-p', path.join(root, 'tsconfig.build.json')], { stdio: 'inherit', cwd: root });
await buildPage(path.join(root, 'dist', 'rig-page'));
await buildProgram(path.join(root, 'dist', 'program'));
