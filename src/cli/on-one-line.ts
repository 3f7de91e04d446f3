import { isMap } from 'yaml';
import type { Node } from 'yaml';

/** Has a YAML mapping written as people write it, `{ a: 1, b: 2 }`; anything else stays as it is. */
export function onOneLine(node: unknown): void {
  if (isMap(node as Node)) (node as Node & { flow: boolean }).flow = true;
}
