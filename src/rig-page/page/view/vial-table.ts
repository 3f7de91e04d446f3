import { watch } from '../state/watch.ts';
import { overlapsAmong } from '../geometry/overlap.ts';
import type { VialField } from '../state/document.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { dosingWarning, warningsOf } from '../text/warnings.ts';
import { roleValue } from '../state/write-files.ts';
import { h } from './dom.ts';
import { createFillBar } from './fill-bar.ts';
import { attachTableKeys, cellOf, fillFrom } from './table-keys.ts';
import { cellId, createVialRow, type VialRow } from './vial-row.ts';

const columns: readonly (readonly [VialField, string])[] = [
  ['label', 'Label'],
  ['role', 'Role'],
  ['added', 'Added, s'],
  ['group', 'Group'],
  ['expect', 'Expected'],
  ['value', 'Value'],
];

/** Names the vials: one row a region, worked like a spreadsheet. */
export function createVialTable(store: Store): HTMLElement {
  let last: { id: string; field: VialField } | null = null;
  const fill = h('button', { type: 'button', disabled: true }, 'Fill down');
  fill.addEventListener('click', () => {
    if (last === null) return;
    fillFrom(store, last);
    document.getElementById(cellId(last.id, last.field))?.focus();
  });
  const body = h('tbody');
  const table = h(
    'table',
    { class: 'vials' },
    h(
      'thead',
      {},
      h(
        'tr',
        {},
        h('th', { scope: 'col' }, 'Vial'),
        h('th', { scope: 'col' }, 'Colour'),
        ...columns.map(([vialField, words]) => h('th', { scope: 'col', class: `col-${vialField}` }, words)),
      ),
    ),
    body,
  );
  const none = h('p', { class: 'hint' }, 'A row for each vial appears here once it is placed on the picture.');
  const doubts = h('ul', { class: 'doubts', 'aria-label': 'Warnings' });
  const problems = h('ul', { class: 'doubts', 'aria-label': 'Still to do', id: 'vial-problems' });
  table.addEventListener('focusin', (event) => {
    last = cellOf(event.target) ?? last;
    fill.disabled = last === null;
  });
  attachTableKeys(store, table);

  const fillBar = createFillBar(store, fill);

  const rows = new Map<string, VialRow>();
  const show = (state: PageState): void => {
    const { regions, white, vials } = state.history.sheet;
    const ids = regions.map(({ id }) => id);
    for (const id of rows.keys()) {
      if (!ids.includes(id)) {
        rows.get(id)?.element.remove();
        rows.delete(id);
      }
    }
    ids.forEach((id, index) => {
      const row = rows.get(id) ?? createVialRow(store, id);
      rows.set(id, row);
      if (body.children[index] !== row.element) body.insertBefore(row.element, body.children[index] ?? null);
    });
    if (last !== null && !rows.has(last.id)) {
      last = null;
      fill.disabled = true;
    }
    fillBar.hidden = ids.length === 0;
    table.hidden = ids.length === 0;
    none.hidden = ids.length > 0;
    const overlaps = overlapsAmong([...regions, ...white]);
    const warned = warningsByWords(
      [...regions, ...white].map(({ id }) => {
        const vial = vials[id];
        const dosing = vial === undefined ? [] : dosingWarning(state.strips.get(id), vial.added);
        return [id, [...warningsOf(state.readings.get(id), overlaps.get(id) ?? []), ...dosing]] as const;
      }),
    );
    const doubtful = new Set([...warned.values()].flat());
    for (const [id, row] of rows) row.show(state, doubtful.has(id));
    table.classList.toggle(
      'with-value',
      ids.some((id) => roleValue[vials[id]?.role ?? 'sample'] !== undefined),
    );
    setList(
      doubts,
      [...warned].map(([words, of]) => `${of.join(', ')}: ${words}`),
    );
    showProblems(state, problems);
  };
  watch(
    store,
    ({ history, selection, readings, strips, problems }) => [history.sheet, selection, readings, strips, problems],
    show,
  );
  return h(
    'section',
    { class: 'sheet', 'aria-labelledby': 'vials-title' },
    h(
      'div',
      { class: 'bar' },
      h('h2', { id: 'vials-title' }, 'Vials'),
      h('p', { class: 'hint' }, 'Enter: next row. Ctrl+D: fill down. Pasted columns spread.'),
    ),
    fillBar,
    h('div', { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Table of vials' }, table, none),
    doubts,
    problems,
  );
}

/** Which regions each warning is about: a badly laid rack is one line, not twelve. */
function warningsByWords(
  warnings: readonly (readonly [id: string, words: readonly string[]])[],
): ReadonlyMap<string, readonly string[]> {
  const regions = new Map<string, string[]>();
  for (const [id, words] of warnings) {
    for (const word of words) regions.set(word, [...(regions.get(word) ?? []), id]);
  }
  return regions;
}

function setList(list: HTMLElement, lines: readonly string[]): void {
  if (list.dataset['lines'] === lines.join('\n')) return;
  list.dataset['lines'] = lines.join('\n');
  list.hidden = lines.length === 0;
  list.replaceChildren(...lines.map((line) => h('li', {}, line)));
}

/** Marks the cells that something is wrong with, and says it in words below. */
function showProblems(state: PageState, list: HTMLElement): void {
  const { regions } = state.history.sheet;
  const lines: string[] = [];
  const wrong = new Set<string>();
  for (const { file, key, message } of state.problems) {
    const match = /^vials(?:\[(\d+)\](?:\.(.+))?)?$/u.exec(key ?? '');
    if (file !== 'run' || match === null) continue;
    const id = match[1] === undefined ? undefined : regions[Number(match[1])]?.id;
    lines.push(id === undefined ? message : `${id}: ${message}`);
    if (id !== undefined) wrong.add(cellId(id, fieldOf(match[2])));
  }
  for (const cell of document.querySelectorAll<HTMLElement>('table.vials [data-field]')) {
    const bad = wrong.has(cell.id);
    cell.setAttribute('aria-invalid', String(bad));
    if (bad) cell.setAttribute('aria-errormessage', list.id);
    else cell.removeAttribute('aria-errormessage');
  }
  setList(list, lines);
}

function fieldOf(key: string | undefined): VialField {
  if (key === 'label' || key === 'role' || key === 'group' || key === 'expect') return key;
  return key === 'added_run_s' ? 'added' : key === undefined ? 'role' : 'value';
}
