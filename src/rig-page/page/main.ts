import { createApi } from './api.ts';
import { find, followProblems, followRegions } from './effects.ts';
import { startingCorners } from './geometry/rack.ts';
import { startHistory } from './state/history.ts';
import { openSheet } from './state/open-files.ts';
import type { PageState } from './state/page-state.ts';
import { createStore } from './state/store.ts';
import type { Start } from '../messages.ts';
import { h } from './view/dom.ts';
import { createHeader } from './view/header.ts';
import { createChartForm, createRackForm } from './view/layout-form.ts';
import { createProposalsBar } from './view/proposals-bar.ts';
import { createReadingPanel } from './view/reading-panel.ts';
import { createRunForm } from './view/run-form.ts';
import { save } from './view/save.ts';
import { createScrubber } from './view/scrubber.ts';
import { createStage } from './view/stage.ts';
import { createToolbar } from './view/toolbar.ts';
import { createZoomBar } from './view/zoom-bar.ts';
import { createVialTable } from './view/vial-table.ts';

function firstState(start: Start): PageState {
  const sheet = openSheet(start);
  return {
    start,
    history: startHistory(sheet),
    tool: sheet.regions.length === 0 && !start.find ? 'rack' : 'select',
    selection: [],
    handle: null,
    rack: {
      rows: 2,
      columns: 6,
      corners: startingCorners(start.source, 2),
      fillX: 0.4,
      fillY: 0.45,
      shape: 'rect',
    },
    corners: [],
    proposals: null,
    finding: false,
    frame: 0,
    view: { zoom: 1, x: 0, y: 0 },
    stage: { width: 0, height: 0 },
    loupe: false,
    pointer: null,
    readings: new Map(),
    strips: new Map(),
    problems: [],
    saved: start.rig === null && start.run === null ? null : sheet,
    message: start.source.notes[0] ?? '',
  };
}

async function open(): Promise<void> {
  // The token is in the address once; the cookie carries it from here on, so it does not stay in the history.
  history.replaceState(null, '', '/');
  const api = createApi();
  const start = await api.start();
  const store = createStore(firstState(start));
  const saveNow = (): void => void save(store, api);
  document.title = `${start.source.name} – placing regions`;
  const run = createRunForm(store);
  document.body.replaceChildren(
    createHeader(store, saveNow),
    h(
      'main',
      {},
      h(
        'div',
        { class: 'picture' },
        createToolbar(store, () => void find(store, api)),
        h('div', { class: 'stage-place' }, createStage(store, api.frameUrl), createZoomBar(store)),
        createScrubber(store),
        h(
          'div',
          { class: 'under' },
          createRackForm(store),
          createChartForm(store),
          createProposalsBar(store),
          createReadingPanel(store),
        ),
      ),
      h('div', { class: 'sheets' }, run.first, createVialTable(store), run.more),
    ),
  );
  document.addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || document.querySelector('dialog[open]') !== null) return;
    const key = event.key.toLowerCase();
    const action =
      key === 's'
        ? saveNow
        : key === 'y' || (key === 'z' && event.shiftKey)
          ? store.redo
          : key === 'z'
            ? store.undo
            : null;
    if (action === null) return;
    event.preventDefault();
    action();
  });
  window.addEventListener('beforeunload', (event) => {
    const { history: steps, saved } = store.get();
    if (steps.past.length > 0 && steps.sheet !== saved) event.preventDefault();
  });
  followRegions(store, api);
  followProblems(store, api);
  // The command ends when this connection does: when the page is closed.
  new EventSource('/alive').addEventListener('error', () =>
    store.set({ message: 'vialapse was stopped in the terminal: what is not saved is only on this page.' }),
  );
  document.getElementById('stage')?.focus();
  if (start.find) await find(store, api, true);
}

open().catch((error: unknown) => {
  document.body.replaceChildren(h('p', { role: 'alert' }, error instanceof Error ? error.message : String(error)));
});
