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

/**
 * How much light falls off over the frame, standard deviations of the three terms before anything is seen. Chosen: a lamp at one side
 * makes 10 to 20 % across a frame, lenses lose 10 to 30 % in the corners. Measured: with 0.06 a row without references came out
 * 0.013 of extent too dark on racks lit from above, with 0.12 0.008.
 */
export const unseenFallOff = { tiltX: 0.12, tiltY: 0.12, fallOff: 0.15 } as const;
