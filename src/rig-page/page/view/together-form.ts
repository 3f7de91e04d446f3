import { isPatch, type VialField } from '../state/document.ts';
import { setVial } from '../state/edits.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { watch } from '../state/watch.ts';
import { h, options, setValue } from './dom.ts';
import { expectWords, roleWords } from './vial-row.ts';

/** Role, group and expectation of several selected vials at once. */
export function createTogetherForm(store: Store): HTMLElement {
  const chosen = ({ selection, history }: PageState): readonly string[] =>
    selection.filter((id) => !isPatch(history.sheet, id));
  const set = (field: VialField, value: string, gesture: string | null = null): void =>
    store.edit(
      (sheet) => chosen(store.get()).reduce((edited, id) => setVial(id, field, value)(edited), sheet),
      gesture,
    );
  const role = h('select', { id: 'together-role' }, ...options([['', 'several'], ...roleWords]));
  role.addEventListener('change', () => role.value !== '' && set('role', role.value));
  const expect = h('select', { id: 'together-expect' }, ...options(expectWords));
  expect.addEventListener('change', () => set('expect', expect.value));
  const group = h('input', { id: 'together-group', type: 'text', class: 'short', autocomplete: 'off' });
  group.addEventListener('input', () => set('group', group.value, `group ${store.get().selection.join()}`));
  const labelled = (label: string, control: HTMLElement): HTMLElement =>
    h('span', { class: 'inline' }, h('label', { for: control.id }, label), control);
  const form = h(
    'div',
    { class: 'bar', role: 'group', 'aria-label': 'All selected vials' },
    labelled('Role', role),
    labelled('Group', group),
    labelled('Expected', expect),
  );
  const show = (state: PageState): void => {
    const vials = chosen(state).flatMap((id) => state.history.sheet.vials[id] ?? []);
    form.hidden = vials.length < 2;
    const common = (field: VialField): string =>
      vials.every((vial) => vial[field] === vials[0]?.[field]) ? (vials[0]?.[field] ?? '') : '';
    setValue(role, common('role'));
    setValue(expect, common('expect'));
    setValue(group, common('group'));
    expect.disabled = vials.some((vial) => vial.role !== 'sample');
  };
  watch(store, ({ history, selection }) => [history.sheet, selection], show);
  return form;
}
