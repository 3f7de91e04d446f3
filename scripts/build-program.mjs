// Bundles the command line into dist/program: a few files instead of five hundred modules, which took half a second to load.
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { allSources, digestOf, measuringSources } from './code-id.mjs';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));

/** Packages that stay where they are: with machine code, WebAssembly or files of their own, or loaded by few commands only. */
const external = [
  ...['sharp', 'heic-decode', '@resvg/resvg-js', '@ffmpeg-installer/ffmpeg', 'fluent-ffmpeg'],
  ...['pdfkit', 'svg-to-pdfkit', 'dejavu-fonts-ttf'],
];

/** The schema library brings its messages in fifty languages, a tenth of the program to be read at each start; ours are our own. */
const oneLanguage = {
  name: 'one-language',
  setup: ({ onLoad }) =>
    onLoad({ filter: /[\\/]zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, () => ({
      contents: "export { default as en } from './en.js';",
      loader: 'js',
    })),
};

export async function buildProgram(folder) {
  await build({
    entryPoints: [path.join(root, 'src', 'cli', 'main.ts')],
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    external,
    plugins: [oneLanguage],
    define: {
      VIALAPSE_CODE_ID: JSON.stringify(digestOf(allSources())),
      VIALAPSE_MEASURING_ID: JSON.stringify(digestOf(await measuringSources())),
    },
    // Packages of the older module format call `require`.
    banner: {
      js: "import { createRequire as requireOf } from 'node:module'; const require = requireOf(import.meta.url);",
    },
    chunkNames: '[name]-[hash]',
    outdir: folder,
    logLevel: 'warning',
  });
}
