import type { Look } from '../frames/index.ts';
import type { RgbImage } from '../model/frame.ts';
import type { SourceFacts } from './messages.ts';

/** What the page needs of a look. */
export type WholeLook = Pick<Look, 'timeRunS' | 'image' | 'regions'>;

/** A source as the page looks at it: by frame number, upright, whole. */
export interface FrameAccess {
  readonly facts: SourceFacts;
  /** The frame of that number, 0 to `facts.frames - 1`. Rejects with a UserError when it cannot be decoded. */
  still(index: number): Promise<RgbImage>;
  /** The pictures that the analysis looks at before it measures, each once. Rejects when none can be read. */
  looks(): AsyncIterable<WholeLook>;
  close(): Promise<void>;
}
