import type { Region } from '../../../model/region.ts';
import type { Proposals } from '../../messages.ts';
import { nextName } from '../geometry/names.ts';
import { takenNames } from '../state/document.ts';
import { addPatch, addVials } from '../state/edits.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { watch } from '../state/watch.ts';
import { h } from './dom.ts';
import { cellId } from './vial-row.ts';

/** Takes what was found into the sheet, under free names. */
function take(store: Store, regions: readonly Region[], white: readonly Region[]): void {
  const taken = new Set(takenNames(store.get().history.sheet));
  const named = (region: Region): Region => {
    const id = taken.has(region.id) ? nextName(region.id, taken) : region.id;
    taken.add(id);
    return { ...region, id };
  };
  const [vials, patches] = [regions.map(named), white.map(named)];
  store.edit((sheet) => patches.reduce((edited, patch) => addPatch(patch)(edited), addVials(vials)(sheet)), null, {
    proposals: null,
    tool: 'select',
    selection: [],
    message: `Taken: ${vials.length} ${vials.length === 1 ? 'vial' : 'vials'}, ${patches.length} ${patches.length === 1 ? 'patch' : 'patches'}. Check each, then name them.`,
  });
  const first = vials[0];
  if (first !== undefined) document.getElementById(cellId(first.id, 'label'))?.focus();
}

function wordsOf({ regions, white, filled, confidence }: Proposals): string {
  if (regions.length === 0) return 'No vials found: lay them out with Rack.';
  const patches =
    white.length === 0 ? 'no neutral patch' : `${white.length} neutral ${white.length === 1 ? 'patch' : 'patches'}`;
  const guessed =
    filled.length === 0
      ? ''
      : ` Dotted: ${filled.join(', ')} stand${filled.length === 1 ? 's' : ''} where the rows want a vial, seen faintly: look there first.`;
  return `Found: ${regions.length} vials, ${patches}; confidence ${Math.floor(confidence * 100)} %.${guessed}`;
}

/** What finding proposes: taken only when the user says so. */
export function createProposalsBar(store: Store): HTMLElement {
  const words = h('p', {});
  const all = h('button', { type: 'button', class: 'main', id: 'take-all' }, 'Take all');
  const vials = h('button', { type: 'button' }, 'Take the vials only');
  const bar = h(
    'div',
    { class: 'bar', role: 'group', 'aria-label': 'Found vials' },
    words,
    all,
    vials,
    h(
      'button',
      { type: 'button', onclick: () => store.set({ proposals: null, message: 'Nothing taken.' }) },
      'Discard',
    ),
  );
  const found = (): Pick<Proposals, 'regions' | 'white'> => store.get().proposals ?? { regions: [], white: [] };
  all.addEventListener('click', () => take(store, found().regions, found().white));
  vials.addEventListener('click', () => take(store, found().regions, []));
  const show = ({ proposals }: PageState): void => {
    bar.hidden = proposals === null;
    if (proposals === null) return;
    words.textContent = wordsOf(proposals);
    all.hidden = proposals.regions.length === 0;
    vials.hidden = proposals.regions.length === 0 || proposals.white.length === 0;
  };
  watch(store, ({ proposals }) => [proposals], show);
  return bar;
}
