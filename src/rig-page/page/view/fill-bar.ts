import { fillAdded, groupByLabel, pasteBlock } from '../state/fill.ts';
import type { Store } from '../state/store.ts';
import { parseTime } from '../text/time-text.ts';
import { h } from './dom.ts';

const idsOf = (store: Store): readonly string[] => store.get().history.sheet.regions.map(({ id }) => id);

/** Takes a list of labels, one a line, in the order of the table. Further columns (tabs) are role, added, group, expected. */
function openList(store: Store): void {
  const lines = h('textarea', { id: 'label-list', rows: 12, spellcheck: 'false' });
  const ids = idsOf(store);
  const dialog = h(
    'dialog',
    { 'aria-labelledby': 'list-title' },
    h('h2', { id: 'list-title' }, 'Labels from a list'),
    h('label', { for: 'label-list' }, `One a line, ${ids[0] ?? ''} to ${ids.at(-1) ?? ''} as in the table.`),
    lines,
    h(
      'p',
      { class: 'hint' },
      'Columns copied from a spreadsheet fill label, role, added, group and expected. An empty line leaves its vial as it is.',
    ),
  );
  const take = h('button', { type: 'button', class: 'main' }, 'Fill in');
  take.addEventListener('click', () => {
    const list = lines.value.replace(/\s+$/u, '').split(/\r?\n/u);
    store.edit(
      (sheet) =>
        list.reduce((filled, line, index) => {
          const id = ids[index];
          return id === undefined || line.trim() === '' ? filled : pasteBlock(ids, id, 'label', line)(filled);
        }, sheet),
      null,
      {
        message:
          list.length > ids.length
            ? `The list has ${list.length} lines for ${ids.length} vials: the rest was left out.`
            : `${list.length} lines filled in.`,
      },
    );
    dialog.close();
  });
  dialog.append(
    h('div', { class: 'bar' }, take, h('button', { type: 'button', onclick: () => dialog.close() }, 'Cancel')),
  );
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  lines.focus();
}

/** What fills many rows at once: a list of labels, times of dosing one after the other, groups of equal labels. */
export function createFillBar(store: Store, fillDown: HTMLElement): HTMLElement {
  const time = (label: string, id: string, value: string): { row: HTMLElement; input: HTMLInputElement } => {
    const input = h('input', { id, type: 'text', class: 'short', value, autocomplete: 'off', spellcheck: 'false' });
    return { input, row: h('span', { class: 'inline' }, h('label', { for: id }, label), input) };
  };
  const first = time('Dosed from', 'dosed-first', '0 s');
  const step = time('every', 'dosed-step', '10 s');
  const fill = (): void => {
    const [from, every] = [parseTime(first.input.value), parseTime(step.input.value)];
    const wrong = from === null ? first.input : every === null ? step.input : null;
    first.input.setAttribute('aria-invalid', String(wrong === first.input));
    step.input.setAttribute('aria-invalid', String(wrong === step.input));
    if (from === null || every === null) {
      store.set({ message: `"${wrong?.value ?? ''}" is not a time: give seconds, such as 10 s.` });
      wrong?.focus();
      return;
    }
    const ids = idsOf(store);
    store.edit(fillAdded(ids, from, every), null, {
      message: `Times filled in for ${ids.length} vials, in this order.`,
    });
  };
  for (const { input } of [first, step]) {
    input.addEventListener('keydown', (event) => {
      if (event.key === 'Enter') fill();
    });
  }
  return h(
    'div',
    { class: 'bar fill', role: 'group', 'aria-label': 'Fill in many' },
    h('button', { type: 'button', onclick: () => openList(store) }, 'Labels from a list…'),
    h(
      'button',
      {
        type: 'button',
        title: 'Samples with the same label become one sample',
        onclick: () => store.edit(groupByLabel, null, { message: 'Samples with the same label are one group.' }),
      },
      'Group equal labels',
    ),
    fillDown,
    h('span', { class: 'inline' }, first.row, step.row, h('button', { type: 'button', onclick: fill }, 'Fill times')),
  );
}
