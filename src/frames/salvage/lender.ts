import { open, readdir } from 'node:fs/promises';
import path from 'node:path';
import { readIndex } from './mp4-boxes.ts';
import { type ParameterSets, parameterSetsOfIndex } from './parameter-sets.ts';

/** Neighbours that are tried. Chosen. */
const mostNeighbours = 6;

/** What an intact film of the same camera lends to one without an index; `null`: it is no such film. */
export async function lentSets(file: string): Promise<ParameterSets | null> {
  const handle = await open(file).catch(() => null);
  if (handle === null) return null;
  try {
    const index = await readIndex(handle);
    return index === null ? null : parameterSetsOfIndex(index);
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
