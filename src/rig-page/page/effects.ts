import type { Region } from '../../model/region.ts';
import type { Api } from './api.ts';
import { rigFile, runFile } from './state/write-files.ts';
import type { PageState } from './state/page-state.ts';
import type { Store } from './state/store.ts';

/** Waits so long after the last change, milliseconds; chosen: while dragging, numbers follow without a queue. */
const waits = { reading: 60, strip: 350, check: 400 } as const;

const say = (store: Store, error: unknown): void =>
  store.set({ message: error instanceof Error ? error.message : String(error) });

const all = (state: PageState): readonly Region[] => [...state.history.sheet.regions, ...state.history.sheet.white];

/** Runs a task after the last of a burst of calls, never twice at a time. */
function settle(wait: number, task: () => Promise<void>): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let running = false;
  let again = false;
  const run = async (): Promise<void> => {
    if (running) {
      again = true;
      return;
    }
    running = true;
    await task();
    running = false;
    if (again) {
      again = false;
      start();
    }
  };
  const start = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => void run(), wait);
  };
  return start;
}

/** Keeps readings and strips of changed regions up to date with what the server sees. */
export function followRegions(store: Store, api: Api): void {
  const read = new Map<string, { region: Region; frame: number }>();
  const stripped = new Map<string, Region>();
  const readings = settle(waits.reading, async () => {
    const state = store.get();
    const changed = all(state).filter(
      (region) => read.get(region.id)?.region !== region || read.get(region.id)?.frame !== state.frame,
    );
    if (changed.length === 0) return;
    for (const region of changed) read.set(region.id, { region, frame: state.frame });
    try {
      const found = await api.readings(state.frame, changed, state.history.sheet.run.transfer);
      store.set({ readings: new Map([...store.get().readings, ...found.map((one) => [one.id, one] as const)]) });
    } catch (error) {
      say(store, error);
    }
  });
  const strips = settle(waits.strip, async () => {
    const state = store.get();
    const changed = all(state).filter((region) => stripped.get(region.id) !== region);
    if (changed.length === 0) return;
    for (const region of changed) stripped.set(region.id, region);
    try {
      const found = await api.strips(changed, state.history.sheet.run.transfer);
      store.set({ strips: new Map([...store.get().strips, ...found.map((one) => [one.id, one] as const)]) });
      // With the frames of the strips glare is told from the whole run.
      for (const { id, provisional } of store.get().readings.values()) if (provisional) read.delete(id);
      readings();
    } catch (error) {
      say(store, error);
    }
  });
  const follow = (): void => {
    readings();
    strips();
  };
  store.subscribe((state, before) => {
    const { sheet } = state.history;
    const moved = sheet.regions !== before.history.sheet.regions || sheet.white !== before.history.sheet.white;
    if (sheet.run.transfer !== before.history.sheet.run.transfer) {
      read.clear();
      stripped.clear();
      follow();
    } else if (moved) follow();
    else if (state.frame !== before.frame) readings();
  });
  follow();
}

/** Once saving was tried, keeps the problems shown true while they are mended. */
export function followProblems(store: Store, api: Api): void {
  const check = settle(waits.check, async () => {
    const state = store.get();
    const { sheet } = state.history;
    const { run, problems } = runFile(sheet, state.start);
    try {
      const files = { rig: rigFile(sheet, state.start), run, runFile: sheet.run.file.trim() };
      store.set({ problems: problems.length > 0 ? problems : await api.check(files) });
    } catch (error) {
      say(store, error);
    }
  });
  store.subscribe((state, before) => {
    if (state.problems.length > 0 && state.history.sheet !== before.history.sheet) check();
  });
}

/**
 * Looks for vials and shows what was found as proposals. Started by the page itself (`unasked`), it gives way to a person
 * who began to lay regions meanwhile.
 */
export async function find(store: Store, api: Api, unasked = false): Promise<void> {
  store.set({ finding: true, message: 'Looking for vials…' });
  try {
    const { tool, history } = store.get();
    const proposals = await api.find();
    if (unasked && (store.get().tool !== tool || store.get().history !== history)) {
      store.set({ finding: false, message: '' });
      return;
    }
    const { frame } = proposals.regions.length === 0 ? store.get() : proposals;
    store.set({
      ...{ finding: false, proposals, tool: 'select', frame },
      message: `${proposals.regions.length} vials found.`,
    });
    document.getElementById('take-all')?.focus();
  } catch (error) {
    store.set({ finding: false });
    say(store, error);
  }
}
