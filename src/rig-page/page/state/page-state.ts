import type { Point } from '../../../model/region.ts';
import type { Problem, Proposals, Reading, SourceFacts, Start, Strip } from '../../messages.ts';
import type { Quad } from '../geometry/quad-map.ts';
import type { RackLayout } from '../geometry/rack.ts';
import type { View } from '../geometry/view.ts';
import type { History } from './history.ts';

export type Tool = 'select' | 'rack' | 'rect' | 'ellipse' | 'polygon' | 'patch' | 'chart';

/** Everything on the page. `history` is saved and undone; the rest is how it is looked at. */
export interface PageState {
  readonly start: Start;
  readonly history: History;
  readonly tool: Tool;
  readonly selection: readonly string[];
  /** Handle moved by the arrow keys, an index into the handles of what is edited; `null`: the whole. */
  readonly handle: number | null;
  readonly rack: RackLayout;
  /** Corners clicked so far with the polygon tool. */
  readonly corners: readonly Point[];
  readonly proposals: Proposals | null;
  readonly finding: boolean;
  readonly frame: number;
  readonly view: View;
  readonly stage: { readonly width: number; readonly height: number };
  readonly loupe: boolean;
  /** Point of the frame under the loupe. */
  readonly pointer: Point | null;
  readonly readings: ReadonlyMap<string, Reading>;
  readonly strips: ReadonlyMap<string, Strip>;
  readonly problems: readonly Problem[];
  /** The sheet last saved, to tell what is unsaved. */
  readonly saved: History['sheet'] | null;
  /** Last thing said to the user, also to screen readers. */
  readonly message: string;
}

export const frameOf = (state: PageState): SourceFacts => state.start.source;

/** The quadrilateral that is being dragged with the present tool. */
export function editedQuad(state: PageState): Quad | null {
  if (state.tool === 'rack') return state.rack.corners;
  return state.tool === 'chart' ? (state.history.sheet.chart?.corners ?? null) : null;
}
