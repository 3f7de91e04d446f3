import { isMap, isNode, isSeq, parseDocument, Document, type YAMLMap } from 'yaml';

type Values = Readonly<Record<string, unknown>>;

const head = ' One rack followed over time. Paths are relative to this file.';

/** Vials one a line, as they are read and compared. */
function vialNode(document: Document, vial: unknown): unknown {
  return document.createNode(vial, { flow: true });
}

const same = (first: unknown, second: unknown): boolean => JSON.stringify(first) === JSON.stringify(second);

const plain = (document: Document, node: unknown): unknown => (isNode(node) ? node.toJS(document) : node);

/** The entries of the old list that say the same are kept as they stand, with their comments. */
function updateVials(document: Document, root: YAMLMap, vials: readonly unknown[]): void {
  const old = root.get('vials');
  if (!isSeq(old)) {
    const list = document.createNode([]) as unknown as { items: unknown[] };
    list.items = vials.map((vial) => vialNode(document, vial));
    root.set('vials', list);
    return;
  }
  const items = [...old.items];
  old.items = vials.map((vial) => items.find((item) => same(plain(document, item), vial)) ?? vialNode(document, vial));
}

/**
 * The text of a run file with these values. Where there was one before, what did not change is left as it stands:
 * comments, order, quoting.
 */
export function runText(values: Values, previous: string | null): string {
  const document = previous === null ? new Document({}) : parseDocument(previous);
  if (previous === null || document.errors.length > 0 || !isMap(document.contents)) {
    const fresh = new Document({});
    fresh.commentBefore = head;
    return write(fresh, fresh.contents as YAMLMap, values);
  }
  return write(document as Document, document.contents as YAMLMap, values);
}

function write(document: Document, root: YAMLMap, values: Values): string {
  for (const { key } of [...root.items]) {
    const name = String(plain(document, key));
    if (!(name in values)) root.delete(name);
  }
  for (const [key, value] of Object.entries(values)) {
    if (key === 'vials' && Array.isArray(value)) updateVials(document, root, value);
    else if (!same(plain(document, root.get(key, true)), value)) {
      root.set(key, document.createNode(value, { flow: key === 'timing' }));
    }
  }
  return document.toString({ lineWidth: 0, flowCollectionPadding: true });
}
