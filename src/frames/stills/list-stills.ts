import { readdir } from 'node:fs/promises';
import path from 'node:path';
import { naturalOrder } from './natural-order.ts';

const endings = new Set(['.jpg', '.jpeg', '.png', '.tif', '.tiff', '.webp', '.avif', '.heic', '.heif']);

/** Whether the name ends like a picture we read. */
export function isStill(file: string): boolean {
  return endings.has(path.extname(file).toLowerCase());
}

/** Whether a source is a pattern of file names. */
export function isPattern(source: string): boolean {
  return /[*?]/.test(source);
}

/** Pictures directly in a folder, absolute, in natural order; names beginning with a dot are passed over. */
export async function stillsInFolder(folder: string): Promise<readonly string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  return entries
    .filter((entry) => !entry.isDirectory() && !entry.name.startsWith('.') && isStill(entry.name))
    .map((entry) => path.join(folder, entry.name))
    .sort(naturalOrder);
}

/** Films in a folder of pictures: those named like a picture (the moving half of live pictures), and others. */
export async function filmsBeside(
  folder: string,
  stills: readonly string[],
): Promise<{ readonly live: readonly string[]; readonly others: readonly string[] }> {
  const stem = (file: string): string => path.parse(file).name.toLowerCase();
  const named = new Set(stills.map(stem));
  const films = (await readdir(folder)).filter((name) => /^[^.].*\.(mov|mp4|m4v|avi|mkv|webm)$/i.test(name));
  films.sort(naturalOrder);
  return {
    live: films.filter((name) => named.has(stem(name))),
    others: films.filter((name) => !named.has(stem(name))),
  };
}

/** Raw files of cameras: their makers' endings and the common one [from memory]. */
const rawFile = /^[^.].*\.(3fr|arw|cr2|cr3|dng|erf|iiq|nef|nrw|orf|pef|raf|raw|rw2|srw|x3f)$/i;
const filmFile = /^[^.].*\.(mov|mp4|m4v|avi|mkv|webm|mts|m2ts|ts|mpg|vob|mxf)$/i;

/** What lies in a folder in place of pictures: names of raw files and of films, in natural order. */
export async function othersInFolder(
  folder: string,
): Promise<{ readonly raw: readonly string[]; readonly films: readonly string[] }> {
  const names = (await readdir(folder)).sort(naturalOrder);
  return { raw: names.filter((name) => rawFile.test(name)), films: names.filter((name) => filmFile.test(name)) };
}

/**
 * Files that match a pattern, absolute, in natural order: `*` any characters and `?` one within a name, `**` any
 * folders. Links to folders are not followed.
 */
export async function filesMatching(pattern: string): Promise<readonly string[]> {
  const parts = path.resolve(pattern).split(path.sep);
  const fixed = parts.findIndex((part) => isPattern(part));
  const start = parts.slice(0, fixed).join(path.sep) || path.sep;
  const found: string[] = [];
  await walk(start, parts.slice(fixed), found);
  return [...new Set(found)].sort(naturalOrder);
}

async function walk(folder: string, parts: readonly string[], found: string[]): Promise<void> {
  const [part, ...rest] = parts;
  if (part === undefined) return;
  if (part === '**') await walk(folder, rest, found);
  const matches = part === '**' ? /^[^.]/ : matcher(part);
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    if (!matches.test(entry.name) || (entry.name.startsWith('.') && !part.startsWith('.'))) continue;
    const inner = path.join(folder, entry.name);
    if (entry.isDirectory()) await walk(inner, part === '**' ? parts : rest, found);
    else if (rest.length === 0 && part !== '**') found.push(inner);
  }
}

function matcher(part: string): RegExp {
  const source = part
    .replace(/[.+^${}()|[\]\\]/g, '\\$&')
    .replaceAll('*', '[^]*')
    .replaceAll('?', '[^]');
  return new RegExp(`^${source}$`, 'u');
}
