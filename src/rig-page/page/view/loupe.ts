import type { Point } from '../../../model/region.ts';
import { overlayOf } from './overlay.ts';
import { toScreen } from '../geometry/view.ts';
import type { PageState } from '../state/page-state.ts';
import { h, svg } from './dom.ts';

const side = 150;
/** Screen pixels a frame pixel under the loupe, at least; chosen: single pixels can be told apart. */
const magnification = 6;

/** An enlargement round the pointer, in the corner of the stage away from it: while dragging, or always when asked for. */
export function createLoupe(image: HTMLImageElement): { element: HTMLElement; draw: (state: PageState) => void } {
  const canvas = h('canvas', { width: side, height: side });
  const lines = svg('svg', { width: side, height: side });
  const element = h('div', { class: 'loupe', 'aria-hidden': 'true', hidden: true }, canvas, lines);
  const draw = (state: PageState): void => {
    const point = state.pointer;
    element.hidden = point === null || image.naturalWidth === 0;
    if (element.hidden || point === null) return;
    const zoom = Math.max(magnification, state.view.zoom * 2);
    const context = canvas.getContext('2d');
    if (context === null) return;
    const span = side / zoom;
    context.imageSmoothingEnabled = false;
    context.clearRect(0, 0, side, side);
    context.drawImage(image, point[0] - span / 2, point[1] - span / 2, span, span, 0, 0, side, side);
    const view = { zoom, x: side / 2 - point[0] * zoom, y: side / 2 - point[1] * zoom };
    const cross = svg('path', { class: 'line', d: `M${side / 2} ${side / 2 - 8}v16m-8 -8h16` });
    lines.replaceChildren(...overlayOf({ ...state, view }), cross);
    element.classList.toggle('right', isLeft(state, point));
  };
  return { element, draw };
}

function isLeft(state: PageState, point: Point): boolean {
  const [x, y] = toScreen(state.view, point);
  return x < side + 60 && y < side + 60;
}
