import { clockText, parseTime } from '../text/time-text.ts';
import { setVial, type Edit } from './edits.ts';
import type { VialField } from './document.ts';

/** Columns of the table in the order a pasted block fills them. */
const pasteColumns: readonly VialField[] = ['label', 'role', 'added', 'group', 'expect', 'value'];

const roles = new Set(['blank', 'positive', 'negative', 'standard', 'mixture', 'known', 'sample']);
const expectations = new Set(['', 'resists', 'reacts']);

const accepted = (field: VialField, text: string): boolean =>
  field === 'role' ? roles.has(text) : field === 'expect' ? expectations.has(text) : true;

/**
 * Copies a cell into all rows below it. Added times go on with the step from the row above, as vials are dosed one
 * after the other: `0 s`, `10 s` gives 20 s, 30 s, …
 */
export const fillDown =
  (ids: readonly string[], from: string, field: VialField): Edit =>
  (sheet) => {
    const start = ids.indexOf(from);
    const value = sheet.vials[from]?.[field];
    if (start < 0 || value === undefined) return sheet;
    const above = start > 0 ? parseTime(sheet.vials[ids[start - 1]!]?.added ?? '') : null;
    const here = parseTime(value);
    const step = field === 'added' && above !== null && here !== null ? here - above : null;
    return ids.slice(start + 1).reduce((filled, id, index) => {
      if (step === null || here === null) return setVial(id, field, value)(filled);
      const seconds = here + step * (index + 1);
      const text = value.includes(':') ? clockText(seconds) : String(Math.round(seconds * 1000) / 1000);
      return setVial(id, field, text)(filled);
    }, sheet);
  };

/** Lays a block copied from a spreadsheet (tabs and lines) over the table, from one cell right and down. */
export const pasteBlock =
  (ids: readonly string[], from: string, field: VialField, text: string): Edit =>
  (sheet) => {
    const startRow = ids.indexOf(from);
    const startColumn = pasteColumns.indexOf(field);
    const lines = text.replace(/\r?\n$/u, '').split(/\r?\n/u);
    return lines.reduce((filled, line, row) => {
      const id = ids[startRow + row];
      if (id === undefined) return filled;
      return line.split('\t').reduce((inRow, cell, column) => {
        const target = pasteColumns[startColumn + column];
        if (target === undefined) return inRow;
        const value =
          target === 'label' || target === 'group' || target === 'value' ? cell.trim() : cell.trim().toLowerCase();
        return accepted(target, value) ? setVial(id, target, value)(inRow) : inRow;
      }, filled);
    }, sheet);
  };

/** Times of vials dosed one after the other: the first, then a step for each, in the order given. */
export const fillAdded =
  (ids: readonly string[], firstS: number, stepS: number): Edit =>
  (sheet) =>
    ids.reduce((filled, id, index) => {
      const seconds = Math.round((firstS + index * stepS) * 1000) / 1000;
      return setVial(id, 'added', String(seconds))(filled);
    }, sheet);

/** Puts samples of the same label into one group, named after it: replicates are one sample. Labels that stand alone keep their group. */
export const groupByLabel: Edit = (sheet) => {
  const samples = sheet.regions.flatMap(({ id }) => {
    const vial = sheet.vials[id];
    const label = vial?.label.trim() ?? '';
    return vial?.role === 'sample' && label !== '' ? [{ id, label }] : [];
  });
  return samples
    .filter(({ id, label }) => samples.some((other) => other.label === label && other.id !== id))
    .reduce((grouped, { id, label }) => setVial(id, 'group', label)(grouped), sheet);
};
