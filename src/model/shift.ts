/**
 * Where the reference frame's content lies in another frame: a similarity about the centre of the frame,
 * `x' = centre + scale * R(rotation) * (x - centre) + (dx, dy)`; pixels and radians (positive: x axis towards y axis, clockwise on screen).
 */
export interface Shift {
  readonly dx: number;
  readonly dy: number;
  readonly rotation: number;
  readonly scale: number;
}
