import { watch } from '../state/watch.ts';
import type { PageState, Tool } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { chooseTool } from './commands.ts';
import { h } from './dom.ts';

const tools: readonly (readonly [Tool, string])[] = [
  ['select', 'Select'],
  ['rack', 'Rack'],
  ['rect', 'Rectangle'],
  ['ellipse', 'Ellipse'],
  ['polygon', 'Polygon'],
  ['patch', 'Neutral patch'],
  ['chart', 'Chart'],
];

/** One sentence on what to do now. */
function hintOf(state: PageState): string {
  if (state.finding) return 'Looking for vials…';
  if (state.proposals !== null) return 'Dashed: what was found. Look at each before you take it.';
  switch (state.tool) {
    case 'rack':
      return 'Drag the four corners (or C and arrow keys) so that each box lies in liquid, then Place. Or let the vials be found.';
    case 'rect':
    case 'ellipse':
      return 'Drag over the liquid of one vial, or press Enter for one in the middle.';
    case 'patch':
      return 'Drag over something white or grey that stays put, near the vials.';
    case 'polygon':
      return 'Click the corners one by one, then Enter or the first corner again.';
    case 'chart':
      return 'Drag the corners to the outer corners of the colour chart.';
    case 'select':
      return state.history.sheet.regions.length === 0
        ? 'No vials yet: let them be found, or lay them out with Rack.'
        : 'Click a region to select it; arrow keys move it. Drag the picture to pan, wheel or pinch to zoom.';
  }
}

export function createToolbar(store: Store, find: () => void): HTMLElement {
  const stage = (): void => document.getElementById('stage')?.focus();
  const buttons = tools.map(([tool, words]) =>
    h(
      'button',
      {
        type: 'button',
        'aria-pressed': 'false',
        onclick: () => {
          chooseTool(store, tool);
          stage();
        },
      },
      words,
    ),
  );
  const findButton = h('button', { type: 'button', onclick: find }, 'Find vials');
  const bar = h('div', { class: 'bar', role: 'toolbar', 'aria-label': 'Tools' }, ...buttons, findButton);
  const hint = h('p', { class: 'hint', id: 'hint' });
  const show = (state: PageState): void => {
    tools.forEach(([tool], index) => buttons[index]!.setAttribute('aria-pressed', String(state.tool === tool)));
    findButton.disabled = state.finding;
    findButton.classList.toggle('main', state.history.sheet.regions.length === 0 && state.proposals === null);
    const words = hintOf(state);
    if (hint.textContent !== words) hint.textContent = words;
  };
  watch(
    store,
    ({ tool, finding, proposals, history }) => [tool, finding, proposals, history.sheet.regions.length],
    show,
  );
  return h('div', { class: 'tools' }, bar, hint);
}
