import { watch } from '../state/watch.ts';
import { boundsOf, fitInto, type Box } from '../geometry/shape.ts';
import { findRegion } from '../state/document.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { change } from './commands.ts';
import { h, setValue } from './dom.ts';

const fields: readonly (readonly [keyof Box, string])[] = [
  ['x', 'x'],
  ['y', 'y'],
  ['width', 'w'],
  ['height', 'h'],
];
const words: Readonly<Record<keyof Box, string>> = {
  x: 'Left edge, pixels',
  y: 'Top edge, pixels',
  width: 'Width, pixels',
  height: 'Height, pixels',
};

/** Position and size of the selected region as numbers: the way without dragging. */
export function createPlaceFields(store: Store): HTMLElement {
  const chosen = (state: PageState) => findRegion(state.history.sheet, state.selection[0] ?? '');
  const inputs = fields.map(([key, short]) => {
    const input = h('input', { type: 'number', step: 1, 'aria-label': words[key], id: `place-${short}` });
    input.addEventListener('input', () => {
      const region = chosen(store.get());
      const value = input.valueAsNumber;
      if (region === undefined || !Number.isFinite(value)) return;
      change(store, [fitInto(region, { ...boundsOf(region), [key]: value })], `place ${region.id} ${key}`);
    });
    return input;
  });
  const show = (state: PageState): void => {
    const region = chosen(state);
    if (region === undefined) return;
    const box = boundsOf(region);
    fields.forEach(([key], index) => {
      const input = inputs[index]!;
      if (document.activeElement !== input) setValue(input, String(Math.round(box[key] * 10) / 10));
    });
  };
  watch(store, ({ history, selection }) => [history.sheet, selection], show);
  return h(
    'span',
    { class: 'inline place', role: 'group', 'aria-label': 'Position and size' },
    ...fields.flatMap(([, short], index) => [h('span', { 'aria-hidden': 'true' }, short), inputs[index]!]),
  );
}
