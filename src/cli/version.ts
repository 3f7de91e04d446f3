import { readFileSync } from 'node:fs';
import path from 'node:path';

/** The tool's version, from its package.json. */
export function toolVersion(): string {
  const file = path.resolve(import.meta.dirname, '..', '..', 'package.json');
  return (JSON.parse(readFileSync(file, 'utf8')) as { readonly version: string }).version;
}

/** Written in by the bundler: a hash of all sources and of the packages they use. */
declare const VIALAPSE_CODE_ID: string | undefined;

/** Changes with any line of the program; `null` where it runs from its sources. */
export function codeId(): string | null {
  return typeof VIALAPSE_CODE_ID === 'string' ? VIALAPSE_CODE_ID : null;
}

/** Written in by the bundler: a hash of the sources that measuring uses, by their imports, and of the list of packages. */
declare const VIALAPSE_MEASURING_ID: string | undefined;

/** Changes with any line of what measures; `null` where it runs from its sources. */
export function measuringId(): string | null {
  return typeof VIALAPSE_MEASURING_ID === 'string' ? VIALAPSE_MEASURING_ID : null;
}
