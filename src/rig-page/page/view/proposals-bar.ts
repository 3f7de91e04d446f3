import { addVials } from '../state/edits.ts';
import { takenNames } from '../state/document.ts';
import { nextName } from '../geometry/names.ts';
import type { Proposal } from '../../messages.ts';
import type { Store } from '../state/store.ts';
import type { PageState } from '../state/page-state.ts';
import { h } from './dom.ts';

/** Takes what was found into the sheet, under free names. */
export function takeProposals(store: Store, proposals: readonly Proposal[]): void {
  const taken = new Set(takenNames(store.get().history.sheet));
  const regions = proposals.map(({ region }) => {
    const id = taken.has(region.id) ? nextName(region.id, taken) : region.id;
    taken.add(id);
    return { ...region, id };
  });
  store.edit(addVials(regions), null, {
    proposals: null,
    tool: 'select',
    selection: [],
    message: `${regions.length} regions taken. Look at each, then name the vials.`,
  });
}

/** What finding proposes: taken only when the user says so. */
export function createProposalsBar(store: Store): HTMLElement {
  const words = h('p', {});
  const sure = h('button', { type: 'button' });
  const all = h('button', { type: 'button', class: 'main' });
  const bar = h(
    'div',
    { class: 'bar', role: 'group', 'aria-label': 'Found vials' },
    words,
    all,
    sure,
    h(
      'button',
      { type: 'button', onclick: () => store.set({ proposals: null, message: 'Nothing taken.' }) },
      'Discard',
    ),
  );
  // Confidence from which a proposal counts as sure; chosen as an even bet with room.
  const confident = (state: PageState): readonly Proposal[] =>
    (state.proposals ?? []).filter(({ confidence }) => confidence >= 0.7);
  all.addEventListener('click', () => takeProposals(store, store.get().proposals ?? []));
  sure.addEventListener('click', () => takeProposals(store, confident(store.get())));
  const show = (state: PageState): void => {
    const { proposals } = state;
    bar.hidden = proposals === null;
    if (proposals === null) return;
    const least = Math.min(...proposals.map(({ confidence }) => confidence));
    words.textContent =
      proposals.length === 0
        ? 'No vials found: lay them out with Rack.'
        : `${proposals.length} found, confidence at least ${Math.floor(least * 100)} %.`;
    all.hidden = proposals.length === 0;
    all.textContent = `Take all ${proposals.length}`;
    const many = confident(state).length;
    sure.hidden = many === 0 || many === proposals.length;
    sure.textContent = `Take the ${many} surest`;
  };
  show(store.get());
  store.subscribe(show);
  return bar;
}
