import { watch } from '../state/watch.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { nextStep } from '../text/next-step.ts';
import { h } from './dom.ts';
import { openHelp } from './help.ts';

/** Name of the source, undo, redo, help, save. */
export function createHeader(store: Store, saveNow: () => void): HTMLElement {
  const { source } = store.get().start;
  const undo = h('button', { type: 'button', onclick: () => store.undo() }, 'Undo');
  const redo = h('button', { type: 'button', onclick: () => store.redo() }, 'Redo');
  const button = h('button', { type: 'button', class: 'main', id: 'save', onclick: saveNow }, 'Save');
  const message = h('p', { class: 'message', role: 'status', 'aria-live': 'polite' });
  const next = h('p', { class: 'next' });
  const show = (state: PageState): void => {
    const step = nextStep(state.history.sheet, state.start);
    const isSaved = state.saved !== null && state.saved === state.history.sheet;
    next.textContent = isSaved ? '' : `Next: ${step ?? 'save'}.`;
    undo.disabled = state.history.past.length === 0;
    redo.disabled = state.history.future.length === 0;
    button.textContent = state.saved !== null && state.saved === state.history.sheet ? 'Saved' : 'Save';
    if (message.textContent !== state.message) message.textContent = state.message;
  };
  watch(store, ({ history, saved, message }) => [history, saved, message], show);
  return h(
    'header',
    { class: 'bar' },
    h('h1', {}, source.name),
    h('p', { class: 'hint' }, `${source.width} × ${source.height}, ${source.frames} frames`),
    next,
    message,
    undo,
    redo,
    h('button', { type: 'button', onclick: openHelp }, 'Keys'),
    button,
  );
}
