import { editedQuad, type PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { findRegion } from '../state/document.ts';
import { handlesOf } from '../geometry/handles.ts';
import { fitView, holdView, zoomAt } from '../geometry/view.ts';
import { centreOf } from '../geometry/shape.ts';
import {
  addBox,
  addShape,
  chooseTool,
  duplicateSelected,
  grow,
  middle,
  nudge,
  placeRack,
  removeSelected,
  usualBox,
} from './commands.ts';

const arrows: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export function zoomBy(store: Store, factor: number): void {
  const { view, stage, start } = store.get();
  const next = zoomAt(view, factor, [stage.width / 2, stage.height / 2]);
  store.set({ view: holdView(next, start.source, stage) });
}

export const zoomToFit = (store: Store): void =>
  store.set({ view: fitView(store.get().start.source, store.get().stage) });

function selectNext(store: Store, step: number): void {
  const state = store.get();
  const ids = [...state.history.sheet.regions, ...state.history.sheet.white].map(({ id }) => id);
  if (ids.length === 0) return;
  const at = ids.indexOf(state.selection[0] ?? '');
  const id = ids[at < 0 ? (step > 0 ? 0 : ids.length - 1) : (at + step + ids.length) % ids.length]!;
  const region = findRegion(state.history.sheet, id)!;
  const [x, y] = centreOf(region).map(Math.round);
  store.set({ tool: 'select', selection: [id], handle: null, message: `${id}, ${region.shape}, at ${x}, ${y}.` });
}

function nextHandle(store: Store): void {
  const state = store.get();
  const single = state.selection.length === 1 ? findRegion(state.history.sheet, state.selection[0]!) : undefined;
  const handles = editedQuad(state) ?? (single === undefined ? [] : handlesOf(single));
  if (handles.length === 0) return;
  const handle = state.handle === null ? 0 : (state.handle + 1) % handles.length;
  const [x, y] = handles[handle]!.map(Math.round);
  store.set({
    handle,
    pointer: handles[handle]!,
    message: `Corner ${handle + 1} of ${handles.length}, at ${x}, ${y}.`,
  });
}

function enter(store: Store, state: PageState): void {
  if (state.tool === 'rack') placeRack(store);
  else if (state.tool === 'chart') chooseTool(store, 'select');
  else if (state.tool === 'polygon') {
    if (state.corners.length >= 3) addShape(store, (id) => ({ id, shape: 'polygon', points: state.corners }));
    else {
      const { x, y, width, height } = usualBox(state, middle(state));
      addShape(store, (id) => ({
        id,
        shape: 'polygon',
        points: [
          [x, y],
          [x + width, y],
          [x + width, y + height],
          [x, y + height],
        ],
      }));
    }
  } else if (state.tool !== 'select') addBox(store, usualBox(state, middle(state)));
}

function escape(store: Store, state: PageState): void {
  if (state.handle !== null) store.set({ handle: null, pointer: null, message: 'Arrow keys move the whole again.' });
  else if (state.tool !== 'select') chooseTool(store, 'select');
  else store.set({ selection: [], message: 'Nothing selected.' });
}

/** Keys while the picture has the focus. Returns whether the key was taken. */
export function stageKey(store: Store, event: KeyboardEvent): boolean {
  const state = store.get();
  const arrow = arrows[event.key];
  if (arrow !== undefined) {
    const step = event.shiftKey ? 10 : 1;
    if (event.altKey) grow(store, arrow[0] * step, arrow[1] * step);
    else if (state.selection.length === 0 && editedQuad(state) === null) {
      const { view, stage, start } = state;
      const moved = { ...view, x: view.x - arrow[0] * 24 * step, y: view.y - arrow[1] * 24 * step };
      store.set({ view: holdView(moved, start.source, stage) });
    } else nudge(store, arrow[0] * step, arrow[1] * step);
    return true;
  }
  if (event.ctrlKey || event.metaKey) {
    if (event.key === 'a') {
      store.set({ tool: 'select', selection: state.history.sheet.regions.map(({ id }) => id), handle: null });
      return true;
    }
    if (event.key === 'd') {
      duplicateSelected(store);
      return true;
    }
    return false;
  }
  if (event.altKey) return false;
  const actions: Readonly<Record<string, () => void>> = {
    Enter: () => enter(store, state),
    Escape: () => escape(store, state),
    Delete: () => removeSelected(store),
    Backspace: () => removeSelected(store),
    F2: () => {
      const name = document.querySelector<HTMLInputElement>('#region-name');
      name?.focus();
      name?.select();
    },
    '.': () => selectNext(store, 1),
    ',': () => selectNext(store, -1),
    c: () => nextHandle(store),
    l: () => store.set({ loupe: !state.loupe, pointer: null }),
    '+': () => zoomBy(store, 1.25),
    '=': () => zoomBy(store, 1.25),
    '-': () => zoomBy(store, 0.8),
    '0': () => zoomToFit(store),
  };
  const action = actions[event.key];
  action?.();
  return action !== undefined;
}
