import { readFileSync } from 'node:fs';
import path from 'node:path';

/** The tool's version, from its package.json. */
export function toolVersion(): string {
  const file = path.resolve(import.meta.dirname, '..', '..', 'package.json');
  return (JSON.parse(readFileSync(file, 'utf8')) as { readonly version: string }).version;
}
