/**
 * Pixels by which crops must be larger than their content on every side, so that regions can follow a nudged camera:
 * 12, or 1 % of a wide frame's width, even. Chosen: nudges of 3-8 px at 1080p are what a knocked table gives (the project's own test), with half as much in reserve.
 */
export function cropMarginPixels(frameWidth: number): number {
  return 2 * Math.ceil(Math.max(12, frameWidth * 0.01) / 2);
}

/** Largest margin of a crop, pixels: a twentieth of the frame's width, even. Chosen: further, vials near the edge leave the picture and stand in other light. */
export function widestMarginPixels(frameWidth: number): number {
  return Math.max(cropMarginPixels(frameWidth), 2 * Math.floor(frameWidth / 40));
}

/**
 * Margin that holds a nudge of `reachPixels`, even: the usual one while it does, else the nudge and the usual one together, so that
 * there is room for what comes on top of it.
 */
export function marginForReach(reachPixels: number, frameWidth: number): number {
  const usual = cropMarginPixels(frameWidth);
  if (reachPixels <= usual - 2) return usual;
  return Math.min(widestMarginPixels(frameWidth), 2 * Math.ceil((reachPixels + usual) / 2));
}

/** Side of the square that is compared in an anchor crop, pixels: 40, or 2.5 % of the width, even. The crop itself has the margin around it. */
export function templatePixels(frameWidth: number): number {
  return 2 * Math.ceil(Math.max(40, frameWidth * 0.025) / 2);
}
