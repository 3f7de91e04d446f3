import { open, readdir } from 'node:fs/promises';
import path from 'node:path';
import { topBoxes } from './mp4-boxes.ts';
import { type ParameterSets, parameterSetsOfIndex } from './parameter-sets.ts';

/** Bytes of an index that are read: that of a film of a day has some 10 MB. Chosen. */
const longestIndex = 64 << 20;
/** Neighbours that are tried. Chosen. */
const mostNeighbours = 6;

/** What an intact film of the same camera lends to one without an index; `null`: it is no such film. */
export async function lentSets(file: string): Promise<ParameterSets | null> {
  const handle = await open(file).catch(() => null);
  if (handle === null) return null;
  try {
    const index = (await topBoxes(handle)).find(({ type }) => type === 'moov');
    if (index === undefined || index.cut) return null;
    const bytes = Buffer.alloc(Math.min(index.end - index.start, longestIndex));
    await handle.read(bytes, 0, bytes.length, index.start);
    return parameterSetsOfIndex(bytes);
  } finally {
    await handle.close();
  }
}

/** Other films of the folder with the same ending, the nearest by name first. */
export async function neighbours(file: string): Promise<readonly string[]> {
  const ending = path.extname(file).toLowerCase();
  const entries = await readdir(path.dirname(file), { withFileTypes: true }).catch(() => []);
  const names = entries
    .filter(
      (entry) => entry.isFile() && !entry.name.startsWith('.') && path.extname(entry.name).toLowerCase() === ending,
    )
    .map((entry) => entry.name)
    .sort();
  const own = names.indexOf(path.basename(file));
  const near = names.map((name, at) => ({ name, distance: Math.abs(at - own) })).filter(({ distance }) => distance > 0);
  near.sort((a, b) => a.distance - b.distance);
  return near.slice(0, mostNeighbours).map(({ name }) => path.join(path.dirname(file), name));
}
