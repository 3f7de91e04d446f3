type Child = Node | string | null;
type Value = string | number | boolean | null | ((event: never) => void);

/**
 * Makes an element. `on…` keys are listeners, `true`/`false` set or leave out an attribute, everything else is an
 * attribute. Text always goes in as text, so labels and file names cannot become markup.
 */
export function h<Tag extends keyof HTMLElementTagNameMap>(
  tag: Tag,
  attributes: Readonly<Record<string, Value>> = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Tag] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === 'function') element.addEventListener(name.slice(2), value as (event: Event) => void);
    else if (value === true) element.setAttribute(name, '');
    else if (value !== false && value !== null) element.setAttribute(name, String(value));
  }
  element.append(...children.filter((child) => child !== null));
  return element;
}

/** Makes an SVG element with attributes. */
export function svg(
  tag: string,
  attributes: Readonly<Record<string, string | number>> = {},
  ...children: readonly (Node | string)[]
): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/** A field with its label and a place for what is wrong with it. */
export function field(label: string, control: HTMLElement, id: string, hint: string | null = null): HTMLElement {
  control.id = id;
  const described = [hint === null ? null : `${id}-hint`, `${id}-problem`].filter((part) => part !== null).join(' ');
  control.setAttribute('aria-describedby', described);
  return h(
    'div',
    { class: 'field' },
    h('label', { for: id }, label),
    control,
    hint === null ? null : h('p', { class: 'hint', id: `${id}-hint` }, hint),
    h('p', { class: 'problem', id: `${id}-problem` }),
  );
}

/** Shows what is wrong beside a field, or clears it. */
export function showProblem(id: string, message: string | null): void {
  const place = document.getElementById(`${id}-problem`);
  if (place !== null && place.textContent !== (message ?? '')) place.textContent = message ?? '';
  document.getElementById(id)?.setAttribute('aria-invalid', message === null ? 'false' : 'true');
}

/** Gives a field its value from the state, but leaves alone what is being typed. */
export function setValue(control: HTMLInputElement | HTMLSelectElement, value: string): void {
  if (control.value !== value) control.value = value;
}

/** `<option>`s from values and words. */
export const options = (pairs: readonly (readonly [string, string])[]): HTMLOptionElement[] =>
  pairs.map(([value, words]) => h('option', { value }, words));
