/** A connected patch of set pixels. Edges: left and top inside, right and bottom outside. */
export interface Component {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly area: number;
  readonly label: number;
}

export const widthOf = (component: Component): number => component.right - component.left;
export const heightOf = (component: Component): number => component.bottom - component.top;
export const middleX = (component: Component): number => (component.left + component.right) / 2;

/** Whether the boxes of two patches share any area. */
export const overlap = (first: Component, second: Component): boolean =>
  first.left < second.right && second.left < first.right && first.top < second.bottom && second.top < first.bottom;

/** Patches of set pixels that touch along sides; `labels` holds each pixel's patch number, from 1. */
export function findComponents(
  mask: Uint8Array,
  width: number,
  height: number,
): { readonly components: Component[]; readonly labels: Int32Array } {
  const labels = new Int32Array(mask.length);
  const components: Component[] = [];
  const stack: number[] = [];
  for (let seed = 0; seed < mask.length; seed += 1) {
    if (mask[seed] === 0 || labels[seed] !== 0) continue;
    const label = components.length + 1;
    let [left, top, right, bottom, area] = [width, height, 0, 0, 0];
    labels[seed] = label;
    stack.push(seed);
    while (stack.length > 0) {
      const at = stack.pop()!;
      const x = at % width;
      const y = (at - x) / width;
      area += 1;
      left = Math.min(left, x);
      right = Math.max(right, x + 1);
      top = Math.min(top, y);
      bottom = Math.max(bottom, y + 1);
      const near = [x > 0 ? at - 1 : -1, x < width - 1 ? at + 1 : -1, at - width, at + width];
      for (const next of near) {
        if (next < 0 || next >= mask.length || mask[next] === 0 || labels[next] !== 0) continue;
        labels[next] = label;
        stack.push(next);
      }
    }
    components.push({ left, top, right, bottom, area, label });
  }
  return { components, labels };
}

/** Takes away set pixels that touch an unset one: loose threads and single pixels go. */
export function erode(mask: Uint8Array, width: number): Uint8Array {
  return mask.map((value, at) =>
    value === 1 &&
    mask[at - 1] === 1 &&
    mask[at + 1] === 1 &&
    (mask[at - width] ?? 0) === 1 &&
    (mask[at + width] ?? 0) === 1
      ? 1
      : 0,
  );
}
