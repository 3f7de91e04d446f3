import type { VialField } from '../state/document.ts';
import { fillDown, pasteBlock } from '../state/fill.ts';
import type { Store } from '../state/store.ts';
import { cellId } from './vial-row.ts';

interface Cell {
  readonly id: string;
  readonly field: VialField;
}

/** The table cell that an event happened in; `null` outside of cells. */
export function cellOf(target: EventTarget | null): Cell | null {
  if (!(target instanceof HTMLElement)) return null;
  const { field, vial } = target.dataset;
  return field === undefined || vial === undefined ? null : { id: vial, field: field as VialField };
}

const idsOf = (store: Store): readonly string[] => store.get().history.sheet.regions.map(({ id }) => id);

export function fillFrom(store: Store, cell: Cell): void {
  const ids = idsOf(store);
  store.edit(fillDown(ids, cell.id, cell.field), null, { message: `Filled down from ${cell.id}.` });
}

/**
 * Keys of a spreadsheet: Enter and Shift+Enter go down and up, arrows up and down too where they mean nothing else,
 * Ctrl+D fills down, a pasted block spreads over the cells.
 */
export function attachTableKeys(store: Store, table: HTMLElement): void {
  table.addEventListener('keydown', (event) => {
    const cell = cellOf(event.target);
    if (cell === null) return;
    if ((event.ctrlKey || event.metaKey) && event.key === 'd') {
      event.preventDefault();
      fillFrom(store, cell);
      return;
    }
    const isText = event.target instanceof HTMLInputElement;
    const down = event.key === 'Enter' || (isText && event.key === 'ArrowDown');
    const up = (event.key === 'Enter' && event.shiftKey) || (isText && event.key === 'ArrowUp');
    if (!down && !up) return;
    const ids = idsOf(store);
    const next = ids[ids.indexOf(cell.id) + (up ? -1 : 1)];
    event.preventDefault();
    const target = next === undefined ? null : document.getElementById(cellId(next, cell.field));
    target?.focus();
    if (target instanceof HTMLInputElement) target.select();
  });
  table.addEventListener('paste', (event) => {
    const cell = cellOf(event.target);
    const text = event.clipboardData?.getData('text/plain') ?? '';
    if (cell === null || !/[\t\n]/u.test(text.trim())) return;
    event.preventDefault();
    store.edit(pasteBlock(idsOf(store), cell.id, cell.field, text), null, { message: 'Pasted over the table.' });
  });
}
