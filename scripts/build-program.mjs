// Bundles the command line into dist/program: a few files instead of five hundred modules, which took half a second to load.
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));

/** Packages that stay where they are: with machine code, WebAssembly or files of their own, or loaded by few commands only. */
const external = [
  ...['sharp', 'heic-decode', '@resvg/resvg-js', '@ffmpeg-installer/ffmpeg', 'fluent-ffmpeg'],
  ...['pdfkit', 'svg-to-pdfkit', 'dejavu-fonts-ttf'],
];

export async function buildProgram(folder) {
  await build({
    entryPoints: [path.join(root, 'src', 'cli', 'main.ts')],
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    external,
    // Packages of the older module format call `require`.
    banner: {
      js: "import { createRequire as requireOf } from 'node:module'; const require = requireOf(import.meta.url);",
    },
    chunkNames: '[name]-[hash]',
    outdir: folder,
    logLevel: 'warning',
  });
}
