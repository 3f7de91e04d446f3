import type { Point, Region } from '../../../model/region.ts';
import { rackNames, nextName } from '../geometry/names.ts';
import { rackRegions, startingCorners } from '../geometry/rack.ts';
import { handlesOf, moveHandle } from '../geometry/handles.ts';
import { boundsOf, growBy, holdInside, keepInside, translate } from '../geometry/shape.ts';
import { toFrame } from '../geometry/view.ts';
import type { Quad } from '../geometry/quad-map.ts';
import { findRegion, takenNames } from '../state/document.ts';
import { addPatch, addVials, duplicate, removeRegions, replaceRegions, setChart } from '../state/edits.ts';
import { editedQuad, frameOf, type PageState, type Tool } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';

/** What the user does, by pointer, key or button alike. */

const selected = (state: PageState): readonly Region[] =>
  state.selection.map((id) => findRegion(state.history.sheet, id)).filter((region) => region !== undefined);

/** Puts changed regions back into the frame and into the sheet. */
export function change(store: Store, regions: readonly Region[], gesture: string): void {
  store.edit(replaceRegions(keepInside(regions, frameOf(store.get()))), gesture);
}

export function chooseTool(store: Store, tool: Tool): void {
  const state = store.get();
  const { chart } = state.history.sheet;
  if (tool === 'chart' && chart === null) {
    const corners = startingCorners(frameOf(state), 2);
    store.edit(setChart({ rows: 4, columns: 6, corners, values: 'chart.csv' }));
  }
  store.set({ tool, handle: null, corners: [], selection: tool === 'select' ? state.selection : [] });
}

/** Moves one corner of the rack or chart. */
export function moveCorner(store: Store, index: number, to: Point, gesture: string): void {
  const state = store.get();
  const quad = editedQuad(state);
  if (quad === null) return;
  const held = holdInside(to, frameOf(state));
  moveQuad(store, quad.map((corner, at) => (at === index ? held : corner)) as unknown as Quad, gesture);
}

export function moveQuad(store: Store, corners: Quad, gesture: string): void {
  const state = store.get();
  const { chart } = state.history.sheet;
  if (state.tool === 'rack') store.set({ rack: { ...state.rack, corners } });
  else if (chart !== null) store.edit(setChart({ ...chart, corners }), gesture);
}

/** Takes the laid out rack as regions and goes on to naming. */
export function placeRack(store: Store): void {
  const state = store.get();
  const { sheet } = state.history;
  const taken = takenNames(sheet);
  const rows = new Set(
    sheet.regions.map(({ id }) => /^([A-Z]+)\d+$/u.exec(id)?.[1]).filter((row) => row !== undefined),
  );
  const names = rackNames(taken, rows.size);
  const regions = keepInside(rackRegions(state.rack, names), frameOf(state));
  store.edit(addVials(regions), null, {
    tool: 'select',
    handle: null,
    selection: [],
    message: `${regions.length} regions placed. Now name the vials in the table.`,
  });
}

/** A region of the usual size: as the last one placed, else a twelfth of the frame. */
export function usualBox(state: PageState, [x, y]: Point): { x: number; y: number; width: number; height: number } {
  const last = state.history.sheet.regions.at(-1);
  const { width: wide } = frameOf(state);
  const { width, height } = last === undefined ? { width: wide / 20, height: wide / 14 } : boundsOf(last);
  return { x: x - width / 2, y: y - height / 2, width, height };
}

/** Adds the region of a drawing tool and selects it. */
export function addShape(store: Store, shape: (id: string) => Region): void {
  const state = store.get();
  const taken = takenNames(state.history.sheet);
  const patch = state.tool === 'patch';
  const last = (patch ? state.history.sheet.white : state.history.sheet.regions).at(-1)?.id;
  const id = last !== undefined ? nextName(last, taken) : patch ? 'W1' : taken.has('A1') ? nextName('A1', taken) : 'A1';
  const [region] = keepInside([shape(id)], frameOf(state));
  store.edit(patch ? addPatch(region!) : addVials([region!]), null, {
    tool: 'select',
    corners: [],
    handle: null,
    selection: [id],
    message: `${id} added. Arrow keys move it, Alt and arrow keys size it.`,
  });
}

export function addBox(store: Store, box: { x: number; y: number; width: number; height: number }): void {
  const ellipse = store.get().tool === 'ellipse';
  addShape(store, (id) =>
    ellipse
      ? {
          id,
          shape: 'ellipse',
          cx: box.x + box.width / 2,
          cy: box.y + box.height / 2,
          rx: box.width / 2,
          ry: box.height / 2,
        }
      : { id, shape: 'rect', ...box },
  );
}

/** The point of the frame in the middle of the stage. */
export const middle = (state: PageState): Point => toFrame(state.view, [state.stage.width / 2, state.stage.height / 2]);

export function nudge(store: Store, dx: number, dy: number): void {
  const state = store.get();
  const quad = editedQuad(state);
  const [only] = selected(state);
  const gesture = `nudge ${state.selection.join()} ${state.handle}`;
  const points = quad ?? (only === undefined ? [] : handlesOf(only));
  const held = state.handle === null ? undefined : points[state.handle];
  if (held !== undefined && state.handle !== null) {
    const to = holdInside([held[0] + dx, held[1] + dy], frameOf(state));
    if (quad !== null) moveCorner(store, state.handle, to, gesture);
    else if (only !== undefined) change(store, [moveHandle(only, state.handle, to)], gesture);
    store.set({ pointer: to });
  } else if (quad !== null) {
    moveQuad(store, quad.map(([x, y]) => [x + dx, y + dy]) as unknown as Quad, gesture);
  } else {
    change(
      store,
      selected(state).map((region) => translate(region, dx, dy)),
      gesture,
    );
  }
}

export function grow(store: Store, dWidth: number, dHeight: number): void {
  const state = store.get();
  change(
    store,
    selected(state).map((region) => growBy(region, dWidth, dHeight)),
    `grow ${state.selection.join()}`,
  );
}

export function removeSelected(store: Store): void {
  const { selection, tool } = store.get();
  if (tool === 'chart') store.edit(setChart(null), null, { tool: 'select', message: 'Chart removed.' });
  else if (selection.length > 0) {
    store.edit(removeRegions(selection), null, {
      selection: [],
      message: `${selection.join(', ')} removed. Undo brings it back.`,
    });
  }
}

export function duplicateSelected(store: Store): void {
  const state = store.get();
  if (state.selection.length === 0) return;
  const first = selected(state)[0];
  const offset = first === undefined ? 10 : Math.max(8, boundsOf(first).width * 0.25);
  const copied = duplicate(state.history.sheet, state.selection, offset);
  store.edit(() => copied.sheet, null, { selection: copied.ids, message: `${copied.ids.join(', ')} added.` });
}
