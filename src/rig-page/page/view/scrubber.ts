import { watch } from '../state/watch.ts';
import { frameWords } from '../text/run-time.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { h, setValue } from './dom.ts';

/** The slider over the source's frames. */
export function createScrubber(store: Store): HTMLElement {
  const { source } = store.get().start;
  const slider = h('input', { id: 'scrubber', type: 'range', min: 0, max: source.frames - 1, step: 1 });
  const words = h('output', { for: 'scrubber' });
  slider.addEventListener('input', () => store.set({ frame: slider.valueAsNumber }));
  const show = (state: PageState): void => {
    setValue(slider, String(state.frame));
    const text = frameWords(state.frame, state.history.sheet.run, state.start);
    words.textContent = text;
    slider.setAttribute('aria-valuetext', text);
  };
  watch(store, ({ frame, history }) => [frame, history.sheet.run], show);
  return h('div', { class: 'scrubber' }, h('label', { for: 'scrubber' }, 'Time'), slider, words);
}
