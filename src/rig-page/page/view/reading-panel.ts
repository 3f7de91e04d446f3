import { watch } from '../state/watch.ts';
import { overlapsAmong } from '../geometry/overlap.ts';
import { findRegion, isPatch, takenNames } from '../state/document.ts';
import { renameRegion, setVial } from '../state/edits.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { runTimeOf } from '../text/run-time.ts';
import { colourWords, warningsOf } from '../text/warnings.ts';
import { duplicateSelected, removeSelected } from './commands.ts';
import { h, setValue } from './dom.ts';
import { createPlaceFields } from './place-fields.ts';
import { stripOf } from './strip.ts';
import { createTogetherForm } from './together-form.ts';

/** Samples as the analysis counts them. */
const samplesWords = (samples: number, side: 1 | 2): string =>
  side === 1 ? `${samples} pixels used` : `${samples} samples of 2 × 2 pixels used`;

/** What the analysis would see of the selected region, and what can be done with it. */
export function createReadingPanel(store: Store): HTMLElement {
  const name = h('input', { id: 'region-name', type: 'text', size: 6, spellcheck: 'false', autocomplete: 'off' });
  const swatch = h('div', { class: 'swatch', 'aria-hidden': 'true' });
  const strip = h('div', { class: 'strip-place' });
  const facts = h('p', { class: 'facts' });
  const warning = h('p', { class: 'warning' });
  const place = createPlaceFields(store);
  const addedHere = h('button', { type: 'button' }, 'Reagent added at this time');
  const one = h(
    'div',
    { class: 'reading' },
    h('span', { class: 'inline' }, h('label', { for: 'region-name' }, 'Name'), name),
    swatch,
    strip,
    place,
    addedHere,
  );
  const actions = h(
    'span',
    { class: 'inline' },
    h('button', { type: 'button', onclick: () => duplicateSelected(store) }, 'Duplicate'),
    h('button', { type: 'button', onclick: () => removeSelected(store) }, 'Delete'),
  );
  const head = h('p', { class: 'facts' });
  const panel = h(
    'section',
    { class: 'panel', 'aria-label': 'Selected region' },
    one,
    h('div', { class: 'reading' }, head, createTogetherForm(store), facts, warning, actions),
  );

  name.addEventListener('change', () => {
    const state = store.get();
    const from = state.selection[0];
    const to = name.value.trim();
    if (from === undefined || to === from) return;
    if (to === '' || takenNames(state.history.sheet).has(to)) {
      store.set({ message: to === '' ? 'A region needs a name.' : `There is a region ${to} already.` });
      name.value = from;
      return;
    }
    store.edit(renameRegion(from, to), null, { selection: [to], message: `${from} is now ${to}.` });
  });
  addedHere.addEventListener('click', () => {
    const state = store.get();
    const time = runTimeOf(state.frame, state.history.sheet.run, state.start);
    if (time === null) return;
    const seconds = String(Math.round(time * 10) / 10);
    store.edit((sheet) => state.selection.reduce((edited, id) => setVial(id, 'added', seconds)(edited), sheet));
  });

  const show = (state: PageState): void => {
    const { sheet, selection, id } = { sheet: state.history.sheet, selection: state.selection, id: state.selection[0] };
    panel.hidden = state.tool === 'rack' || state.tool === 'chart' || state.proposals !== null;
    one.hidden = selection.length !== 1;
    actions.hidden = id === undefined;
    head.hidden = selection.length === 1;
    head.textContent =
      id === undefined
        ? 'No region selected: what the analysis would see of it appears here.'
        : `${selection.length} regions selected.`;
    const region = id === undefined ? undefined : findRegion(sheet, id);
    if (selection.length !== 1 || id === undefined || region === undefined) {
      facts.textContent = '';
      warning.textContent = '';
      return;
    }
    if (document.activeElement !== name) setValue(name, id);
    const reading = state.readings.get(id);
    swatch.style.background = reading?.colour ?? '';
    strip.replaceChildren(stripOf(state.strips.get(id)?.colours ?? [null], 200, 24));
    facts.textContent =
      reading === undefined
        ? 'Reading…'
        : reading.colour === null
          ? 'No colour.'
          : `${colourWords(reading)} ${reading.colour}, hue ${reading.hueDeg === null ? 'none' : `${Math.round(reading.hueDeg)}°`}, left out as glare or edge ${Math.round(100 * (reading.leftOut ?? 0))} %, ${samplesWords(reading.samples, state.start.source.sampleSide)}${reading.provisional ? ' (first look)' : ''}`;
    const overlaps = overlapsAmong([...sheet.regions, ...sheet.white]).get(id) ?? [];
    warning.textContent = warningsOf(reading, overlaps).join('; ');
    addedHere.hidden = isPatch(sheet, id) || runTimeOf(state.frame, sheet.run, state.start) === null;
  };
  watch(
    store,
    ({ history, selection, tool, proposals, readings, strips, frame }) => [
      history.sheet,
      selection,
      tool,
      proposals,
      readings,
      strips,
      frame,
    ],
    show,
  );
  return panel;
}
