/**
 * Pixels by which crops must be larger than their content on every side, so that regions can follow a nudged camera:
 * 12, or 1 % of a wide frame's width, even. Chosen: nudges of 3-8 px at 1080p are what a knocked table gives (the project's own test), with half as much in reserve.
 */
export function cropMarginPixels(frameWidth: number): number {
  return 2 * Math.ceil(Math.max(12, frameWidth * 0.01) / 2);
}

/** Side of the square that is compared in an anchor crop, pixels: 40, or 2.5 % of the width, even. The crop itself has the margin around it. */
export function templatePixels(frameWidth: number): number {
  return 2 * Math.ceil(Math.max(40, frameWidth * 0.025) / 2);
}
