import { setVial } from '../state/edits.ts';
import type { VialDraft, VialField } from '../state/document.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { roleValue } from '../state/write-files.ts';
import { h, options, setValue } from './dom.ts';
import { stripOf } from './strip.ts';

/** Roles in the words of the glossary. */
export const roleWords: readonly (readonly [VialDraft['role'], string])[] = [
  ['sample', 'sample'],
  ['blank', 'blank'],
  ['positive', 'positive'],
  ['negative', 'negative'],
  ['standard', 'standard'],
  ['mixture', 'mixture'],
  ['known', 'known'],
];

export const expectWords: readonly (readonly [string, string])[] = [
  ['', '–'],
  ['resists', 'resists'],
  ['reacts', 'reacts'],
];

export interface VialRow {
  readonly element: HTMLTableRowElement;
  readonly show: (state: PageState, doubtful: boolean) => void;
}

const words: Readonly<Record<VialField, string>> = {
  label: 'Label',
  role: 'Role',
  added: 'Reagent added',
  group: 'Group',
  expect: 'Expected',
  value: 'Value of the role',
};

/** The cell of one field, found again by its place in the table. */
export const cellId = (id: string, vialField: VialField): string => `vial-${vialField}-${id}`;

/** One vial in the table. */
export function createVialRow(store: Store, id: string): VialRow {
  const text = (vialField: VialField): HTMLInputElement => {
    const input = h('input', {
      type: 'text',
      id: cellId(id, vialField),
      'data-field': vialField,
      'data-vial': id,
      'aria-label': `${words[vialField]}, ${id}`,
      autocomplete: 'off',
      spellcheck: 'false',
    });
    input.addEventListener('input', () => store.edit(setVial(id, vialField, input.value), `type ${vialField} ${id}`));
    return input;
  };
  const choice = (vialField: VialField, pairs: readonly (readonly [string, string])[]): HTMLSelectElement => {
    const select = h(
      'select',
      {
        id: cellId(id, vialField),
        'data-field': vialField,
        'data-vial': id,
        'aria-label': `${words[vialField]}, ${id}`,
      },
      ...options(pairs),
    );
    select.addEventListener('change', () => store.edit(setVial(id, vialField, select.value)));
    return select;
  };
  const controls = {
    label: text('label'),
    role: choice('role', roleWords),
    added: text('added'),
    group: text('group'),
    expect: choice('expect', expectWords),
    value: text('value'),
  };
  const name = h(
    'button',
    {
      type: 'button',
      class: 'pick',
      'aria-pressed': 'false',
      onclick: (event: MouseEvent) => {
        const { selection } = store.get();
        const added = selection.includes(id) ? selection.filter((other) => other !== id) : [...selection, id];
        store.set({ tool: 'select', handle: null, selection: event.shiftKey ? added : [id] });
      },
    },
    id,
  );
  const strip = h('td', { class: 'strip-place' });
  const cells = (Object.keys(controls) as VialField[]).map((vialField) =>
    h('td', { class: `col-${vialField}` }, controls[vialField]),
  );
  const element = h('tr', {}, h('th', { scope: 'row' }, name), strip, ...cells);
  element.addEventListener('focusin', (event) => {
    const { selection, tool } = store.get();
    if (event.target !== name && (tool !== 'select' || selection.length !== 1 || selection[0] !== id)) {
      store.set({ tool: 'select', selection: [id], handle: null });
    }
  });
  let shown: readonly (string | null)[] | undefined;
  const show = (state: PageState, doubtful: boolean): void => {
    const vial = state.history.sheet.vials[id];
    if (vial === undefined) return;
    for (const [vialField, control] of Object.entries(controls)) setValue(control, vial[vialField as VialField]);
    controls.expect.disabled = vial.role !== 'sample';
    const wanted = roleValue[vial.role];
    controls.value.hidden = wanted === undefined;
    controls.value.placeholder = wanted === undefined ? '' : wanted.words;
    controls.added.placeholder = 'in film';
    const chosen = state.selection.includes(id);
    element.classList.toggle('chosen', chosen);
    name.setAttribute('aria-pressed', String(chosen));
    name.textContent = doubtful ? `${id} !` : id;
    name.setAttribute('aria-label', doubtful ? `${id}, see the warnings below` : id);
    const colours = state.strips.get(id)?.colours;
    if (colours !== shown || strip.childElementCount === 0) {
      shown = colours;
      strip.replaceChildren(stripOf(colours ?? [null], 72, 18));
    }
  };
  return { element, show };
}
