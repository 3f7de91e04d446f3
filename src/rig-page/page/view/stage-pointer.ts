import type { Point, Region } from '../../../model/region.ts';
import type { Quad } from '../geometry/quad-map.ts';
import { handlesOf, moveHandle, shownHandles } from '../geometry/handles.ts';
import { insidePolygon } from '../geometry/overlap.ts';
import { boundsOf, holdInside, outlineOf, translate } from '../geometry/shape.ts';
import { holdView, toFrame } from '../geometry/view.ts';
import { findRegion } from '../state/document.ts';
import { editedQuad, frameOf, type PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { addBox, addShape, change, moveCorner, moveQuad, usualBox } from './commands.ts';
import { handleAt, regionAt } from './hit.ts';

/** What a press of the pointer turned into; `end` is told whether the pointer was moved. */
export interface Gesture {
  readonly move: (screen: Point, frame: Point) => void;
  readonly end: (moved: boolean, frame: Point) => void;
}

export interface Press {
  readonly screen: Point;
  readonly frame: Point;
  readonly shift: boolean;
  /** Middle button, or the space bar held. */
  readonly pan: boolean;
  /** Reach for handles, CSS pixels: a finger needs more. */
  readonly reach: number;
  /** Unique for this press: one step of undo. */
  readonly gesture: string;
}

function panning(store: Store, press: Press, click: () => void): Gesture {
  const { view, stage, start } = store.get();
  return {
    move: (screen) => {
      const moved = { ...view, x: view.x + screen[0] - press.screen[0], y: view.y + screen[1] - press.screen[1] };
      store.set({ view: holdView(moved, start.source, stage) });
    },
    end: (moved) => {
      if (!moved) click();
    },
  };
}

function quadGesture(store: Store, press: Press, quad: Quad): Gesture {
  const state = store.get();
  const corner = handleAt(quad, state.view, press.screen, press.reach);
  if (corner !== null) {
    store.set({ handle: corner });
    return {
      move: (_, frame) => moveCorner(store, corner, frame, press.gesture),
      end: (moved) => store.set({ handle: moved ? null : corner }),
    };
  }
  const click = (): void => {
    if (state.handle !== null) moveCorner(store, state.handle, press.frame, press.gesture);
  };
  if (!insidePolygon(press.frame, quad)) return panning(store, press, click);
  return {
    move: (_, [x, y]) =>
      moveQuad(
        store,
        quad.map(([cx, cy]) => [cx + x - press.frame[0], cy + y - press.frame[1]]) as unknown as Quad,
        press.gesture,
      ),
    end: (moved) => {
      if (!moved) click();
    },
  };
}

function drawing(store: Store, press: Press): Gesture {
  const { corners, tool, view, start } = store.get();
  if (tool === 'polygon') {
    return panning(store, press, () => {
      const closing = corners.length >= 3 && handleAt(corners.slice(0, 1), view, press.screen, press.reach) !== null;
      if (closing) addShape(store, (id) => ({ id, shape: 'polygon', points: corners }));
      else store.set({ corners: [...corners, press.frame], message: `${corners.length + 1} corners.` });
    });
  }
  const from = holdInside(press.frame, start.source);
  const box = (point: Point): readonly Point[] => {
    const to = holdInside(point, start.source);
    return [from, [to[0], from[1]], to, [from[0], to[1]]];
  };
  return {
    move: (_, frame) => store.set({ corners: box(frame) }),
    end: (moved, frame) => {
      const drawn = boundsOf({ id: '', shape: 'polygon', points: box(frame) });
      addBox(store, moved && drawn.width >= 3 && drawn.height >= 3 ? drawn : usualBox(store.get(), press.frame));
    },
  };
}

/** A handle under the pointer; from within a small region only close by, so that its middle still moves it. */
function shownHandleAt(region: Region, view: PageState['view'], press: Press): number | null {
  const points = handlesOf(region);
  const shown = shownHandles(region, view.zoom);
  const { width, height } = boundsOf(region);
  const inside = insidePolygon(press.frame, outlineOf(region));
  const reach = inside ? Math.min(press.reach, (Math.min(width, height) * view.zoom) / 4) : press.reach;
  const found = handleAt(
    shown.map((index) => points[index]!),
    view,
    press.screen,
    reach,
  );
  return found === null ? null : shown[found]!;
}

function selecting(store: Store, press: Press, state: PageState): Gesture {
  const { sheet } = state.history;
  const single = state.selection.length === 1 ? findRegion(sheet, state.selection[0]!) : undefined;
  const handle = single === undefined ? null : shownHandleAt(single, state.view, press);
  const under = regionAt([...sheet.regions, ...sheet.white], press.frame);
  if (single !== undefined && handle !== null) {
    store.set({ handle });
    return {
      move: (_, frame) => change(store, [moveHandle(single, handle, holdInside(frame, frameOf(state)))], press.gesture),
      end: (moved) => store.set({ handle: moved ? null : handle }),
    };
  }
  if (under === null) {
    return panning(store, press, () => {
      if (single !== undefined && state.handle !== null) {
        change(store, [moveHandle(single, state.handle, holdInside(press.frame, frameOf(state)))], press.gesture);
      } else store.set({ selection: [], handle: null });
    });
  }
  const inside = state.selection.includes(under.id);
  const selection = press.shift
    ? inside
      ? state.selection.filter((id) => id !== under.id)
      : [...state.selection, under.id]
    : inside
      ? state.selection
      : [under.id];
  store.set({ selection, handle: null });
  const moved = selection.map((id) => findRegion(sheet, id)).filter((region): region is Region => region !== undefined);
  return {
    move: (_, [x, y]) =>
      change(
        store,
        moved.map((region) => translate(region, x - press.frame[0], y - press.frame[1])),
        press.gesture,
      ),
    end: (wasMoved) => {
      if (!wasMoved && !press.shift) store.set({ selection: [under.id] });
    },
  };
}

/** Begins what a press means with the present tool. */
export function beginGesture(store: Store, press: Press): Gesture {
  const state = store.get();
  if (press.pan) return panning(store, press, () => {});
  const quad = editedQuad(state);
  if (quad !== null) return quadGesture(store, press, quad);
  return state.tool === 'select' ? selecting(store, press, state) : drawing(store, press);
}

/** Pinch: the two fingers keep their points of the frame. */
export function pinchView(
  state: PageState,
  before: readonly [Point, Point],
  now: readonly [Point, Point],
): PageState['view'] {
  const gap = ([a, b]: readonly [Point, Point]): number => Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1]));
  const mid = ([a, b]: readonly [Point, Point]): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const zoom = Math.min(32, Math.max(0.05, (state.view.zoom * gap(now)) / gap(before)));
  const [fx, fy] = toFrame(state.view, mid(before));
  const [x, y] = mid(now);
  return holdView({ zoom, x: x - fx * zoom, y: y - fy * zoom }, state.start.source, state.stage);
}
