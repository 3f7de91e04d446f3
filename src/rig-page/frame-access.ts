import type { RgbImage } from '../model/frame.ts';
import type { SourceFacts } from './messages.ts';

/** A source as the page looks at it: by frame number, upright, whole. */
export interface FrameAccess {
  readonly facts: SourceFacts;
  /** The frame of that number, 0 to `facts.frames - 1`. Rejects with a UserError when it cannot be decoded. */
  still(index: number): Promise<RgbImage>;
  close(): Promise<void>;
}
