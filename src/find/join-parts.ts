import { heightOf, widthOf, type Component } from './components.ts';
import { colourDistance, sameLiquid } from './liquid-box.ts';
import { middleColour } from './liquidness.ts';
import type { SmallOklab } from './small-oklab.ts';

/** Largest gap between two parts of one liquid, in widths. Chosen: noise and glare cut a threshold's patch, a meniscus or a label lies farther. */
const widestGap = 0.3;
/** Share of the narrower part that must lie over the other. Chosen. */
const shared = 0.6;

/** Patches over one another that are of one colour in every look are parts of one liquid: joined, from the top down. */
export function joinParts(components: readonly Component[], looks: readonly SmallOklab[]): Component[] {
  const joined: Component[] = [];
  for (const one of [...components].sort((first, second) => first.top - second.top)) {
    const at = joined.findIndex((other) => isPart(other, one, looks));
    if (at < 0) joined.push(one);
    else joined[at] = both(joined[at]!, one);
  }
  return joined;
}

function isPart(upper: Component, lower: Component, looks: readonly SmallOklab[]): boolean {
  const across = Math.min(upper.right, lower.right) - Math.max(upper.left, lower.left);
  const gap = lower.top - upper.bottom;
  const overlap = Math.min(heightOf(upper), heightOf(lower)) / 2;
  return (
    across > shared * Math.min(widthOf(upper), widthOf(lower)) &&
    across > (shared / 2) * Math.max(widthOf(upper), widthOf(lower)) &&
    gap < widestGap * Math.max(widthOf(upper), widthOf(lower)) &&
    gap > -overlap &&
    looks.every((look) => colourDistance(middleColour(upper, look), middleColour(lower, look)) < sameLiquid)
  );
}

const both = (upper: Component, lower: Component): Component => ({
  left: Math.min(upper.left, lower.left),
  top: upper.top,
  right: Math.max(upper.right, lower.right),
  bottom: Math.max(upper.bottom, lower.bottom),
  area: upper.area + lower.area,
  label: upper.label,
});
