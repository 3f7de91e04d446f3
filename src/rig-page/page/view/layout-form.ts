import { watch } from '../state/watch.ts';
import { mostPerSide, type RackLayout } from '../geometry/rack.ts';
import { setChart } from '../state/edits.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { chooseTool, placeRack, removeSelected } from './commands.ts';
import { h, options, setValue } from './dom.ts';

function numberField(
  label: string,
  id: string,
  change: (value: number) => void,
): { row: HTMLElement; input: HTMLInputElement } {
  const input = h('input', { id, type: 'number', min: 1, max: mostPerSide, step: 1 });
  input.addEventListener('input', () => {
    const value = input.valueAsNumber;
    if (Number.isInteger(value) && value >= 1 && value <= mostPerSide) change(value);
  });
  return { input, row: h('span', { class: 'inline' }, h('label', { for: id }, label), input) };
}

/** Rows, columns and fill of the rack that is being laid out. */
export function createRackForm(store: Store): HTMLElement {
  const set = (change: Partial<RackLayout>): void => store.set({ rack: { ...store.get().rack, ...change } });
  const rows = numberField('Rows', 'rack-rows', (value) => set({ rows: value }));
  const columns = numberField('Columns', 'rack-columns', (value) => set({ columns: value }));
  const slider = (label: string, id: string, key: 'fillX' | 'fillY') => {
    const input = h('input', { id, type: 'range', min: 10, max: 95, step: 1 });
    input.addEventListener('input', () => set({ [key]: input.valueAsNumber / 100 }));
    return { input, row: h('span', { class: 'inline' }, h('label', { for: id }, label), input) };
  };
  const wide = slider('Width', 'rack-width', 'fillX');
  const tall = slider('Height', 'rack-height', 'fillY');
  const shape = h(
    'select',
    { id: 'rack-shape' },
    ...options([
      ['rect', 'rectangles'],
      ['ellipse', 'ellipses'],
      ['polygon', 'in perspective'],
    ]),
  );
  shape.addEventListener('change', () => set({ shape: shape.value as RackLayout['shape'] }));
  const place = h('button', { type: 'button', class: 'main', onclick: () => placeRack(store) }, 'Place');
  const form = h(
    'div',
    { class: 'bar', role: 'group', 'aria-label': 'Rack' },
    rows.row,
    columns.row,
    wide.row,
    tall.row,
    h('span', { class: 'inline' }, h('label', { for: 'rack-shape' }, 'Shape'), shape),
    place,
    h('button', { type: 'button', onclick: () => chooseTool(store, 'select') }, 'Cancel'),
  );
  const show = (state: PageState): void => {
    form.hidden = state.tool !== 'rack';
    const { rack } = state;
    setValue(rows.input, String(rack.rows));
    setValue(columns.input, String(rack.columns));
    setValue(wide.input, String(Math.round(rack.fillX * 100)));
    setValue(tall.input, String(Math.round(rack.fillY * 100)));
    setValue(shape, rack.shape);
    place.textContent = `Place ${rack.rows * rack.columns} regions`;
  };
  watch(store, ({ tool, rack }) => [tool, rack], show);
  return form;
}

/** Rows, columns and table of the colour chart. */
export function createChartForm(store: Store): HTMLElement {
  const chart = (): PageState['history']['sheet']['chart'] => store.get().history.sheet.chart;
  const set = (change: { rows?: number; columns?: number; values?: string }): void => {
    const now = chart();
    if (now !== null) store.edit(setChart({ ...now, ...change }), `chart ${Object.keys(change).join()}`);
  };
  const rows = numberField('Rows', 'chart-rows', (value) => set({ rows: value }));
  const columns = numberField('Columns', 'chart-columns', (value) => set({ columns: value }));
  const values = h('input', { id: 'chart-values', type: 'text', spellcheck: 'false' });
  values.addEventListener('input', () => set({ values: values.value }));
  const form = h(
    'div',
    { class: 'bar', role: 'group', 'aria-label': 'Colour chart' },
    rows.row,
    columns.row,
    h('span', { class: 'inline' }, h('label', { for: 'chart-values' }, 'Table of its colours (file)'), values),
    h('button', { type: 'button', class: 'main', onclick: () => chooseTool(store, 'select') }, 'Done'),
    h('button', { type: 'button', onclick: () => removeSelected(store) }, 'Remove chart'),
  );
  const show = (state: PageState): void => {
    const now = state.history.sheet.chart;
    form.hidden = state.tool !== 'chart' || now === null;
    if (now === null) return;
    setValue(rows.input, String(now.rows));
    setValue(columns.input, String(now.columns));
    setValue(values, now.values);
  };
  watch(store, ({ tool, history }) => [tool, history.sheet.chart], show);
  return form;
}
