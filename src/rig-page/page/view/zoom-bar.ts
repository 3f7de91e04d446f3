import { watch } from '../state/watch.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { h } from './dom.ts';
import { zoomBy, zoomToFit } from './stage-keys.ts';

/** Zoom and loupe, in the corner of the picture. */
export function createZoomBar(store: Store): HTMLElement {
  const loupe = h(
    'button',
    { type: 'button', 'aria-pressed': 'false', onclick: () => store.set({ loupe: !store.get().loupe }) },
    'Loupe',
  );
  const show = (state: PageState): void => loupe.setAttribute('aria-pressed', String(state.loupe));
  watch(store, ({ loupe }) => [loupe], show);
  return h(
    'div',
    { class: 'zoom', role: 'group', 'aria-label': 'View' },
    loupe,
    h('button', { type: 'button', 'aria-label': 'Zoom out', onclick: () => zoomBy(store, 0.8) }, '−'),
    h('button', { type: 'button', onclick: () => zoomToFit(store) }, 'Fit'),
    h('button', { type: 'button', 'aria-label': 'Zoom in', onclick: () => zoomBy(store, 1.25) }, '+'),
  );
}
