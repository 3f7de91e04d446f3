/**
 * How light falls off over the frame, as an even backdrop beside the vials shows it: log brightness by place, half a
 * diagonal of the frame = 1 from its centre, as `tiltX x + tiltY y + fallOff (x^2 + y^2)` and a constant that tells nothing.
 */
export interface Backdrop {
  readonly tiltX: number;
  readonly tiltY: number;
  readonly fallOff: number;
  /** Standard deviation of the pieces about it, log brightness. */
  readonly residual: number;
  /** Pieces it rests on. */
  readonly pieces: number;
}
