import type { Edit } from './edits.ts';
import { apply, redo, undo } from './history.ts';
import type { PageState } from './page-state.ts';
import { findRegion } from './document.ts';

export type Change = Partial<PageState>;

/** The one mutable place of the page: holds the state, tells views after each change. */
export interface Store {
  readonly get: () => PageState;
  /** Changes how things are looked at. */
  readonly set: (change: Change) => void;
  /** Changes the sheet; undoable. Edits with the same gesture in a row are one step. */
  readonly edit: (edit: Edit, gesture?: string | null, change?: Change) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  readonly subscribe: (listener: (state: PageState, before: PageState) => void) => void;
}

/** A selection without what undo took away. */
function held(state: PageState): PageState {
  const selection = state.selection.filter((id) => findRegion(state.history.sheet, id) !== undefined);
  return selection.length === state.selection.length ? state : { ...state, selection, handle: null };
}

export function createStore(initial: PageState): Store {
  let state = initial;
  const listeners: ((state: PageState, before: PageState) => void)[] = [];
  const become = (next: PageState): void => {
    const before = state;
    state = held(next);
    for (const listener of listeners) listener(state, before);
  };
  return {
    get: () => state,
    set: (change) => become({ ...state, ...change }),
    edit: (edit, gesture = null, change = {}) =>
      become({ ...state, ...change, history: apply(state.history, edit, gesture) }),
    undo: () => become({ ...state, history: undo(state.history), message: 'Undone.' }),
    redo: () => become({ ...state, history: redo(state.history), message: 'Redone.' }),
    subscribe: (listener) => void listeners.push(listener),
  };
}
