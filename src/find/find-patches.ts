import type { Component } from './components.ts';
import { findComponents } from './components.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Chroma up to which a surface may pass for neutral under a lamp whose white is not quite the camera's. Chosen. */
const neutral = 0.03;
/** Step of lightness between neighbours that bounds a surface. Chosen: above shading, below a printed edge. */
const edge = 0.03;
const most = 4;

/**
 * Flat, neutral, light rectangles of moderate size beside the vials: candidates for neutral patches, at most four, the largest, from the top down.
 * Not clipped, alike in every look, and not the empty glass above a liquid. Working pixels.
 */
export function findPatches(looks: readonly SmallOklab[], vials: readonly Component[]): Component[] {
  const { width, height } = looks[0]!;
  const mask = new Uint8Array(width * height);
  for (let at = width; at < mask.length - width; at += 1) {
    const flat = looks.every((look) => {
      const here = look.lightness[at]!;
      return (
        here > 0.4 &&
        look.clipped[at] === 0 &&
        Math.hypot(look.a[at]!, look.b[at]!) < neutral &&
        [1, -1, width, -width].every((step) => Math.abs(look.lightness[at + step]! - here) < edge)
      );
    });
    mask[at] = flat ? 1 : 0;
  }
  return findComponents(mask, width, height)
    .components.filter((component) => {
      const across = component.right - component.left;
      const down = component.bottom - component.top;
      const share = component.area / mask.length;
      return (
        share > 5e-4 &&
        share < 0.03 &&
        component.area > 0.88 * across * down &&
        across < 3 * down &&
        down < 3 * across &&
        !vials.some((vial) => standsOver(component, vial))
      );
    })
    .sort((first, second) => second.area - first.area)
    .slice(0, most)
    .sort((first, second) => first.top - second.top || first.left - second.left);
}

/** Whether a surface lies in the column of a vial, from far above its liquid to just below. */
function standsOver(component: Component, vial: Component): boolean {
  const across = vial.right - vial.left;
  const down = vial.bottom - vial.top;
  return (
    component.right > vial.left - 0.4 * across &&
    component.left < vial.right + 0.4 * across &&
    component.bottom > vial.top - 4 * down &&
    component.top < vial.bottom + down
  );
}
