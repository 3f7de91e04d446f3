import { watch } from '../state/watch.ts';
import type { RunField, TimingKind } from '../state/document.ts';
import { setRigName, setRun } from '../state/edits.ts';
import type { PageState } from '../state/page-state.ts';
import type { Store } from '../state/store.ts';
import { runTimeOf } from '../text/run-time.ts';
import { clockText } from '../text/time-text.ts';
import { field, h, options, setValue, showProblem } from './dom.ts';

const timingWords: Readonly<Record<TimingKind, string>> = {
  interval: 'From frame to frame',
  speed: 'Seconds per second',
  lasted: 'First frame to last',
  exif: '',
};

const timingHints: Readonly<Record<TimingKind, string>> = {
  interval: 'In real time, such as 20 s.',
  speed: 'Real seconds in one of playback, such as 600.',
  lasted: 'In real time, such as 8 h or 8:00:00.',
  exif: '',
};

/** Which field a key of the files is shown beside. */
const places: Readonly<Record<string, string>> = {
  'run name': 'run-name',
  'run timing': 'run-timing-value',
  'run timing.interval_s': 'run-timing-value',
  'run timing.speed': 'run-timing-value',
  'run timing.clock': 'run-timing',
  'run reaction': 'run-reaction',
  'run read_at_s': 'run-read-at',
  'run alpha': 'run-alpha',
  'run margin': 'run-margin',
  'run transfer': 'run-transfer',
  'run file': 'run-file',
  'rig name': 'rig-name',
};

/** The field beside which a problem is shown; `null`: none of this form. */
export const placeOf = (file: string, key: string | null): string | null => places[`${file} ${key}`] ?? null;

/** Settings of the run: what must be given comes first, what has a default after the vials. */
export function createRunForm(store: Store): { readonly first: HTMLElement; readonly more: HTMLElement } {
  const { source, reactions } = store.get().start;
  const text = (key: RunField): HTMLInputElement => {
    const input = h('input', { type: 'text', autocomplete: 'off', spellcheck: 'false' });
    input.addEventListener('input', () => store.edit(setRun(key, input.value), `type run ${key}`));
    return input;
  };
  const choice = (key: RunField, pairs: readonly (readonly [string, string])[]): HTMLSelectElement => {
    const select = h('select', {}, ...options(pairs));
    select.addEventListener('change', () => store.edit(setRun(key, select.value)));
    return select;
  };
  const timings: (readonly [TimingKind, string])[] = [
    ['interval', 'time between frames'],
    ['lasted', 'how long it lasted'],
  ];
  if (source.kind === 'video') timings.push(['speed', 'speed of playback']);
  if (source.clockLengthS !== null || source.kind === 'stills') timings.push(['exif', 'clock of the camera']);
  const controls = {
    name: text('name'),
    timing: choice('timing', timings),
    timingValue: text('timingValue'),
    reaction: choice(
      'reaction',
      reactions.map(({ name, title }) => [name, title] as const),
    ),
    readAt: text('readAt'),
    alpha: text('alpha'),
    margin: text('margin'),
    transfer: choice('transfer', [
      ['srgb', 'sRGB, whatever the tag'],
      ['tagged', 'as the film is tagged'],
      ['bt709', 'BT.709'],
    ]),
    file: text('file'),
  };
  const rigName = h('input', { type: 'text', autocomplete: 'off', spellcheck: 'false' });
  rigName.addEventListener('input', () => store.edit(setRigName(rigName.value), 'type rig name'));
  controls.alpha.placeholder = '0.05';
  controls.margin.placeholder = '0.05';
  const valueField = field('', controls.timingValue, 'run-timing-value', '');
  const lasts = h('p', { class: 'hint' });
  const rest = h('ul', { class: 'doubts', 'aria-label': 'Other problems' });
  const first = h(
    'section',
    { class: 'sheet', 'aria-labelledby': 'run-title' },
    h('div', { class: 'bar' }, h('h2', { id: 'run-title' }, 'Run'), lasts),
    h(
      'div',
      { class: 'fields' },
      field('Frames are timed by', controls.timing, 'run-timing'),
      valueField,
      field('Samples are read at', controls.readAt, 'run-read-at', 'After dosing, such as 2 h; declare it first.'),
    ),
    rest,
  );
  const more = h(
    'section',
    { class: 'sheet', 'aria-labelledby': 'more-title' },
    h('h2', { id: 'more-title' }, 'More of the run'),
    h(
      'div',
      { class: 'fields' },
      field('Reaction', controls.reaction, 'run-reaction'),
      field('Name of the run', controls.name, 'run-name'),
      field('Name of the rig', rigName, 'rig-name'),
      field('Margin, in extent', controls.margin, 'run-margin', 'How far above the clean references is still clean.'),
      field('Risk of a false call, alpha', controls.alpha, 'run-alpha'),
      field('Curve of the picture', controls.transfer, 'run-transfer', 'sRGB unless you know better.'),
      field('File of the run', controls.file, 'run-file', `Saved beside ${store.get().start.files.rig}.`),
    ),
  );
  const show = (state: PageState): void => {
    const { run, rigName: name } = state.history.sheet;
    for (const [key, control] of Object.entries(controls)) setValue(control, run[key as RunField]);
    setValue(rigName, name);
    valueField.hidden = run.timing === 'exif';
    valueField.querySelector('label')?.replaceChildren(timingWords[run.timing]);
    document.getElementById('run-timing-value-hint')?.replaceChildren(timingHints[run.timing]);
    const length = runTimeOf(source.frames - 1, run, state.start);
    lasts.textContent =
      length === null ? `${source.frames} frames.` : `${source.frames} frames over ${clockText(length)}.`;
    const shown = new Map(state.problems.map(({ file, key, message }) => [placeOf(file, key), message] as const));
    for (const id of new Set(Object.values(places))) showProblem(id, shown.get(id) ?? null);
    const others = state.problems.filter(
      ({ file, key }) => placeOf(file, key) === null && !(file === 'run' && (key ?? '').startsWith('vials')),
    );
    rest.hidden = others.length === 0;
    rest.replaceChildren(...others.map(({ message }) => h('li', {}, message)));
  };
  // The fields must be in the page before problems can be put beside them.
  queueMicrotask(() =>
    watch(store, ({ history, problems }) => [history.sheet.run, history.sheet.rigName, problems], show),
  );
  return { first, more };
}
