import {
  isAlias,
  isMap,
  isPair,
  isScalar,
  isSeq,
  LineCounter,
  parseAllDocuments,
  visit,
  type Document,
  type Node,
  type Pair,
  type YAMLError,
} from 'yaml';
import { UserError } from '../errors.ts';
import { readTextFile, shownPath } from './read-text-file.ts';

/** Where a value stands in a file: keys and 0-based positions from the top. */
export type KeyPath = readonly (string | number)[];

/** A parsed YAML or JSON file that still knows its lines. */
export interface SourceDocument {
  /** As shown to the user. */
  readonly file: string;
  readonly value: unknown;
  /** 1-based line of the deepest part of `key` that exists. */
  lineOf(key: KeyPath): number;
}

/** Keys whose unquoted values are text even where YAML would see a number: `label: 007`, `reagent_lot: 12`. */
const textKeys = new Set(['name', 'label', 'region', 'id', 'group', 'identity', 'what', 'rig', 'reaction', 'operator']);
/** Most alias uses times anchors that a file may hold before it is called a bomb. Chosen: far above what people write. */
const aliasLimit = 100;

/** Reads a YAML or JSON file (JSON is read as the YAML that it is, so that both have line numbers). */
export async function readDocument(file: string): Promise<SourceDocument> {
  return parseSource(await readTextFile(file), shownPath(file));
}

/** @throws UserError naming the line when the text is no single, well-formed document. */
function parseSource(text: string, file: string): SourceDocument {
  const lines = new LineCounter();
  const lineAt = (offset: number): number => Math.max(1, lines.linePos(offset).line);
  try {
    const documents = parseAllDocuments(text, {
      lineCounter: lines,
      uniqueKeys: true,
      strict: true,
      prettyErrors: false,
      stringKeys: true,
    });
    if (!Array.isArray(documents) || documents.length === 0) throw emptyFile(file);
    const document = documents[0] as Document.Parsed;
    const fault = document.errors[0];
    if (fault !== undefined) throw syntaxError(fault, file, lineAt(fault.pos[0]), text);
    if (documents.length > 1) {
      throw new UserError({
        code: 'several-documents',
        message: 'the file holds several documents divided by ---',
        file,
      });
    }
    if (document.contents === null || (isScalar(document.contents) && document.contents.value === null)) {
      throw emptyFile(file);
    }
    keepText(document);
    const value: unknown = document.toJS({ maxAliasCount: aliasLimit });
    return { file, value, lineOf: (key) => lineAt(offsetOf(document, key)) };
  } catch (error) {
    if (error instanceof UserError) throw error;
    if (error instanceof ReferenceError || error instanceof RangeError) {
      throw tooDeep(file, error);
    }
    throw error;
  }
}

function emptyFile(file: string): UserError {
  return new UserError({ code: 'empty-file', message: 'the file is empty', file });
}

function tooDeep(file: string, cause: unknown): UserError {
  return new UserError({
    code: 'yaml-too-deep',
    message: 'the file is too deeply nested or repeats itself too often by aliases',
    file,
    hint: 'write the values out instead of using & anchors and * aliases',
    cause,
  });
}

function syntaxError(fault: YAMLError, file: string, line: number, text: string): UserError {
  const tab = fault.code === 'TAB_AS_INDENT' || /^\s*\t/.test(text.split('\n')[line - 1] ?? '');
  if (tab) {
    return new UserError({
      code: 'yaml-tab',
      message: 'a tab is used to indent',
      file,
      line,
      hint: 'YAML indents with spaces only: replace the tab by spaces',
    });
  }
  if (fault.code === 'RESOURCE_EXHAUSTION') return tooDeep(file, fault);
  const message = fault.message.replace(/\s+/g, ' ').trim();
  if (fault.code === 'DUPLICATE_KEY') {
    const repeated = /^\s*-?\s*[{]?\s*"?([^\s":]+)/.exec(text.slice(fault.pos[0]))?.[1];
    return new UserError({
      code: 'duplicate-key',
      message: repeated === undefined ? 'a key is given twice' : `the key "${repeated}" is given twice`,
      file,
      line,
      hint: 'keep one of them',
    });
  }
  return new UserError({
    code: 'syntax',
    message: `this cannot be read as YAML or JSON: ${message}`,
    file,
    line,
    hint: 'check the indentation, quotes and brackets around this line',
  });
}

/** Puts back the written text of unquoted numbers and words under keys that hold text. */
function keepText(document: Document.Parsed): void {
  visit(document, {
    Pair(_, pair, ancestors) {
      const key = isScalar(pair.key) ? String(pair.key.value) : '';
      const parent = ancestors.findLast(isPair) as Pair | undefined;
      const inRecord = parent !== undefined && isScalar(parent.key) && parent.key.value === 'record';
      const { value } = pair;
      if ((!textKeys.has(key) && !inRecord) || !isScalar(value) || value.source === undefined) return;
      if (typeof value.value === 'number' || typeof value.value === 'boolean') value.value = value.source;
    },
  });
}

function offsetOf(document: Document.Parsed, key: KeyPath): number {
  let node: unknown = document.contents;
  let offset = (document.contents as Node | null)?.range?.[0] ?? 0;
  for (const step of key) {
    if (isAlias(node)) node = node.resolve(document);
    if (isMap(node)) {
      const pair = node.items.find((item) => isScalar(item.key) && String(item.key.value) === String(step));
      if (pair === undefined) return offset;
      offset = (pair.key as Node).range?.[0] ?? offset;
      node = pair.value;
    } else if (isSeq(node) && typeof step === 'number') {
      node = node.items[step];
      offset = (node as Node | undefined)?.range?.[0] ?? offset;
    } else {
      return offset;
    }
  }
  return offset;
}
