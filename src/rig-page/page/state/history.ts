import type { Edit } from './edits.ts';
import type { Sheet } from './document.ts';

/** The sheet with what undo and redo lead to. */
export interface History {
  readonly sheet: Sheet;
  readonly past: readonly Sheet[];
  readonly future: readonly Sheet[];
  /** Edits with the same gesture in a row are one step; `null`: the last edit stands alone. */
  readonly gesture: string | null;
}

/** Steps kept; chosen: more than anyone walks back, little memory. */
const depth = 200;

export const startHistory = (sheet: Sheet): History => ({ sheet, past: [], future: [], gesture: null });

export function apply(history: History, edit: Edit, gesture: string | null = null): History {
  const sheet = edit(history.sheet);
  if (sheet === history.sheet) return history;
  const joined = gesture !== null && gesture === history.gesture;
  return {
    sheet,
    past: joined ? history.past : [...history.past, history.sheet].slice(-depth),
    future: [],
    gesture,
  };
}

export function undo(history: History): History {
  const sheet = history.past.at(-1);
  if (sheet === undefined) return history;
  return { sheet, past: history.past.slice(0, -1), future: [history.sheet, ...history.future], gesture: null };
}

export function redo(history: History): History {
  const sheet = history.future[0];
  if (sheet === undefined) return history;
  return { sheet, past: [...history.past, history.sheet], future: history.future.slice(1), gesture: null };
}
