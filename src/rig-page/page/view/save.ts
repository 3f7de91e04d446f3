import type { Api } from '../api.ts';
import { rigFile, runFile } from '../state/write-files.ts';
import type { Store } from '../state/store.ts';
import { h } from './dom.ts';
import { placeOf } from './run-form.ts';

function dialogOf(title: string, ...body: readonly (Node | string)[]): HTMLDialogElement {
  const dialog = h('dialog', { 'aria-labelledby': 'dialog-title' }, h('h2', { id: 'dialog-title' }, title), ...body);
  dialog.addEventListener('close', () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}

/** Asks before files are replaced. Resolves to whether to go on. */
function askReplace(files: readonly string[]): Promise<boolean> {
  return new Promise((resolve) => {
    let agreed = false;
    const replace = h('button', { type: 'button', class: 'main' }, files.length > 1 ? 'Replace them' : 'Replace it');
    const dialog = dialogOf(
      `${files.join(' and ')} ${files.length > 1 ? 'are' : 'is'} there already`,
      h(
        'p',
        {},
        'What is replaced is kept beside it under the name with .previous. To keep both in use, give another file name under Run.',
      ),
      h('div', { class: 'bar' }, replace, h('button', { type: 'button', onclick: () => dialog.close() }, 'Cancel')),
    );
    replace.addEventListener('click', () => {
      agreed = true;
      dialog.close();
    });
    dialog.addEventListener('close', () => resolve(agreed));
  });
}

function tellSaved(written: readonly string[], kept: readonly string[], next: string): void {
  const dialog = dialogOf(
    'Saved',
    h('p', {}, written.length === 0 ? 'Nothing had changed.' : `Written: ${written.join(', ')}.`),
    kept.length === 0 ? '' : h('p', {}, `What was there before is kept as ${kept.join(', ')}.`),
    h('p', {}, 'Next, in the terminal:'),
    h('pre', { tabindex: 0 }, next),
    h('p', { class: 'hint' }, 'Closing this page ends the command that opened it.'),
    h(
      'div',
      { class: 'bar' },
      h('button', { type: 'button', class: 'main', onclick: () => dialog.close() }, 'Go on here'),
    ),
  );
}

/** What is wrong, without what was expected: that stands beside the field in full. */
const brief = (message: string): string => `Not saved: ${message.split('; ')[0]!}`;

/** Puts the focus where the first problem can be mended. */
function goToProblem(store: Store): void {
  const problem = store.get().problems[0];
  if (problem === undefined) return;
  const place = placeOf(problem.file, problem.key);
  const target =
    place === null
      ? // A fault of all vials together, such as no reference among them, begins with the first one's role.
        (document.querySelector<HTMLElement>('table.vials [aria-invalid="true"]') ??
        document.querySelector<HTMLElement>('table.vials [id^="vial-role-"]'))
      : document.getElementById(place);
  target?.focus();
}

/** Saves both files; problems are shown beside their fields, existing files asked about. */
export async function save(store: Store, api: Api): Promise<void> {
  const state = store.get();
  const { sheet } = state.history;
  const { run, problems } = runFile(sheet, state.start);
  if (problems.length > 0) {
    store.set({ problems, message: brief(problems[0]!.message) });
    goToProblem(store);
    return;
  }
  const request = { rig: rigFile(sheet, state.start), run, runFile: sheet.run.file.trim(), frame: state.frame };
  try {
    let answer = await api.save({ ...request, replace: false });
    if (answer.kind === 'exists') {
      if (!(await askReplace(answer.files))) {
        store.set({ message: 'Not saved.' });
        return;
      }
      answer = await api.save({ ...request, replace: true });
    }
    if (answer.kind === 'problems') {
      store.set({
        problems: answer.problems,
        message: brief(answer.problems[0]?.message ?? 'something is wrong.'),
      });
      goToProblem(store);
    } else if (answer.kind === 'saved') {
      store.set({ saved: sheet, problems: [], message: `Saved ${answer.written.join(' and ')}.` });
      tellSaved(answer.written, answer.kept, answer.next);
    }
  } catch (error) {
    store.set({ message: `Not saved: ${error instanceof Error ? error.message : String(error)}` });
  }
}
