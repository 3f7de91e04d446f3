import type { Point } from '../../../model/region.ts';
import { fitView, holdView, toFrame, zoomAt } from '../geometry/view.ts';
import { frameOf, type PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { h, svg } from './dom.ts';
import { createLoupe } from './loupe.ts';
import { overlayOf } from './overlay.ts';
import { stageKey } from './stage-keys.ts';
import { beginGesture, pinchView, type Gesture } from './stage-pointer.ts';

/** Movement below which a press is a click, CSS pixels. */
const slack = 4;

/** The picture with the regions on it: zoom, pan, drag, keys. */
export function createStage(store: Store, frameUrl: (frame: number) => string): HTMLElement {
  const image = h('img', { class: 'frame', alt: '', draggable: 'false' });
  const overlay = svg('svg', { class: 'overlay', 'aria-hidden': 'true' });
  const loupe = createLoupe(image);
  const stage = h(
    'div',
    {
      class: 'stage',
      id: 'stage',
      tabindex: 0,
      role: 'application',
      'aria-label': 'Picture of the rack with its regions',
      'aria-describedby': 'hint',
    },
    image,
    overlay,
    loupe.element,
  );
  attachPointer(store, stage);
  stage.addEventListener('keydown', (event) => {
    if (stageKey(store, event)) event.preventDefault();
  });
  image.addEventListener('load', () => loupe.draw(store.get()));

  let waiting = false;
  const draw = (): void => {
    waiting = false;
    const state = store.get();
    const { view } = state;
    image.style.transform = `translate(${view.x}px, ${view.y}px) scale(${view.zoom})`;
    image.classList.toggle('pixels', view.zoom >= 3);
    overlay.replaceChildren(...overlayOf(state));
    loupe.draw(state);
    stage.dataset['tool'] = state.tool;
  };
  const drawSoon = (): void => {
    if (!waiting) requestAnimationFrame(draw);
    waiting = true;
  };
  const { width, height } = frameOf(store.get());
  image.width = width;
  image.height = height;
  image.src = frameUrl(store.get().frame);
  store.subscribe((state, before) => {
    if (state.frame !== before.frame) image.src = frameUrl(state.frame);
    drawSoon();
  });
  let fitted = false;
  new ResizeObserver(() => {
    const size = { width: stage.clientWidth, height: stage.clientHeight };
    if (size.width === 0 || size.height === 0) return;
    const state = store.get();
    const untouched = !fitted || sameView(state.view, fitView(frameOf(state), state.stage));
    fitted = true;
    store.set({ stage: size, view: untouched ? fitView(frameOf(state), size) : state.view });
  }).observe(stage);
  return stage;
}

const sameView = (
  first: { zoom: number; x: number; y: number },
  second: { zoom: number; x: number; y: number },
): boolean => first.zoom === second.zoom && first.x === second.x && first.y === second.y;

function attachPointer(store: Store, stage: HTMLElement): void {
  const fingers = new Map<number, Point>();
  let gesture: Gesture | null = null;
  let from: Point = [0, 0];
  let moved = false;
  let presses = 0;
  /** What a gesture may change, as it was before the present one. */
  let before: Pick<PageState, 'history' | 'rack' | 'corners' | 'selection' | 'handle'> | null = null;
  let space = false;
  const at = (event: MouseEvent): Point => {
    const box = stage.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  stage.addEventListener('pointerdown', (event) => {
    if (event.button > 1) return;
    stage.focus({ preventScroll: true });
    stage.setPointerCapture(event.pointerId);
    const screen = at(event);
    fingers.set(event.pointerId, screen);
    if (fingers.size > 1) {
      // A second finger makes it a pinch: what the first began is taken back.
      if (gesture !== null && before !== null) store.set(before);
      gesture = null;
      return;
    }
    const { history, rack, corners, selection, handle } = store.get();
    before = { history, rack, corners, selection, handle };
    from = screen;
    moved = false;
    presses += 1;
    const frame = toFrame(store.get().view, screen);
    store.set({ pointer: frame });
    gesture = beginGesture(store, {
      screen,
      frame,
      shift: event.shiftKey,
      pan: event.button === 1 || space,
      reach: event.pointerType === 'touch' ? 24 : 12,
      gesture: `press ${presses}`,
    });
    event.preventDefault();
  });
  stage.addEventListener('pointermove', (event) => {
    const screen = at(event);
    const pressed = fingers.has(event.pointerId);
    if (pressed && fingers.size === 2) {
      const held = [...fingers.values()] as [Point, Point];
      fingers.set(event.pointerId, screen);
      store.set({ view: pinchView(store.get(), held, [...fingers.values()] as [Point, Point]) });
      return;
    }
    const frame = toFrame(store.get().view, screen);
    if (!pressed) {
      if (store.get().loupe) store.set({ pointer: frame });
      return;
    }
    fingers.set(event.pointerId, screen);
    moved ||= Math.hypot(screen[0] - from[0], screen[1] - from[1]) > slack;
    if (moved && gesture !== null) gesture.move(screen, frame);
    store.set({ pointer: toFrame(store.get().view, screen) });
  });
  const release = (event: PointerEvent): void => {
    fingers.delete(event.pointerId);
    gesture?.end(moved, toFrame(store.get().view, at(event)));
    gesture = null;
    if (!store.get().loupe) store.set({ pointer: null });
  };
  stage.addEventListener('pointerleave', () => {
    if (fingers.size === 0) store.set({ pointer: null });
  });
  stage.addEventListener('pointerup', release);
  stage.addEventListener('pointercancel', (event) => {
    fingers.delete(event.pointerId);
    gesture = null;
  });
  stage.addEventListener(
    'wheel',
    (event) => {
      event.preventDefault();
      const { view, stage: size, start } = store.get();
      const next = zoomAt(view, Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0015)), at(event));
      store.set({ view: holdView(next, start.source, size) });
    },
    { passive: false },
  );
  stage.addEventListener('keydown', (event) => {
    if (event.key === ' ') {
      space = true;
      event.preventDefault();
    }
  });
  stage.addEventListener('keyup', (event) => {
    if (event.key === ' ') space = false;
  });
  stage.addEventListener('blur', () => (space = false));
}
