import { h } from './dom.ts';

const keys: readonly (readonly [string, string])[] = [
  ['Arrows, with Shift', 'move what is selected by 1, by 10 pixels; with nothing selected, the picture'],
  ['Alt + arrows', 'make it wider, narrower, taller, lower'],
  [', and .', 'select the region before, after'],
  ['C', 'take the next corner; arrows then move that corner, Esc gives it back'],
  ['Enter', 'place what the tool holds'],
  ['Ctrl + A', 'select all vials'],
  ['Ctrl + D', 'duplicate; in the table, fill down'],
  ['Delete', 'remove'],
  ['F2', 'rename'],
  ['+ − 0', 'zoom in, out, whole picture'],
  ['L', 'loupe'],
  ['Ctrl + Z, Ctrl + Shift + Z', 'undo, redo'],
  ['Ctrl + S', 'save'],
];

/** The keys, in a dialog. */
export function openHelp(): void {
  const dialog = h(
    'dialog',
    { 'aria-labelledby': 'help-title' },
    h('h2', { id: 'help-title' }, 'Keys'),
    h('p', { class: 'hint' }, 'With the picture in focus. Dragging, tapping and these keys do the same things.'),
    h('dl', { class: 'keys' }, ...keys.flatMap(([key, words]) => [h('dt', {}, key), h('dd', {}, words)])),
    h('div', { class: 'bar' }, h('button', { type: 'button', class: 'main', onclick: () => dialog.close() }, 'Close')),
  );
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
}
