// What the program's code is known by: constants that the bundler writes in, so that what other code worked out is not taken for this one's.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const slashes = (name) => name.split(path.sep).join('/');

/** Where measuring begins: the opening of a source, all from its frames to a Measurement, and how that is kept. */
const measuring = ['src/frames/index.ts', 'src/measure-source.ts', 'src/files/measurement-cache.ts'];
/** Hands over what is measured with; it counts alone. */
const keeper = 'src/kept-measurement.ts';

/** Files of all sources, relative to the project. */
export function allSources() {
  return readdirSync(path.join(root, 'src'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => slashes(path.relative(root, path.join(entry.parentPath, entry.name))))
    .sort();
}

/** The sources among them that measuring uses, by their imports. */
export async function measuringSources() {
  const { metafile } = await build({
    entryPoints: measuring.map((name) => path.join(root, name)),
    ...{ absWorkingDir: root, bundle: true, format: 'esm', platform: 'node', packages: 'external' },
    ...{ outdir: 'nowhere', write: false, metafile: true, logLevel: 'warning' },
  });
  return [keeper, ...Object.keys(metafile.inputs).filter((name) => name.startsWith('src/'))].sort();
}

/** A hash of some sources and of the list of packages; `read` gives a file's content. */
export function digestOf(names, read = (name) => readFileSync(path.join(root, name))) {
  const hash = createHash('sha256');
  for (const name of [...names, 'package-lock.json']) hash.update(name).update(read(name));
  return hash.digest('hex').slice(0, 32);
}
