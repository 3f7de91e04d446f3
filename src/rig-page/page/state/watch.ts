import type { PageState } from './page-state.ts';
import type { Store } from './store.ts';

/** Shows something now, and again whenever one of the values it is made from is another. */
export function watch(
  store: Store,
  values: (state: PageState) => readonly unknown[],
  show: (state: PageState) => void,
): void {
  let shown = values(store.get());
  show(store.get());
  store.subscribe((state) => {
    const now = values(state);
    if (now.every((value, index) => value === shown[index])) return;
    shown = now;
    show(state);
  });
}
