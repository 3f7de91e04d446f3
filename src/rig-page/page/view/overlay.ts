import type { Point, Region } from '../../../model/region.ts';
import { mapQuad, type Quad } from '../geometry/quad-map.ts';
import { rackRegions } from '../geometry/rack.ts';
import { handlesOf, shownHandles } from '../geometry/handles.ts';
import { boundsOf, centreOf } from '../geometry/shape.ts';
import { toScreen, type View } from '../geometry/view.ts';
import { editedQuad, type PageState } from '../state/page-state.ts';
import { findRegion } from '../state/document.ts';
import { svg } from './dom.ts';

function pathOf(region: Region, view: View): string {
  if (region.shape === 'ellipse') {
    const [x, y] = toScreen(view, [region.cx, region.cy]);
    const [rx, ry] = [region.rx * view.zoom, region.ry * view.zoom];
    return `M${x - rx} ${y}a${rx} ${ry} 0 1 0 ${2 * rx} 0a${rx} ${ry} 0 1 0 ${-2 * rx} 0z`;
  }
  if (region.shape === 'polygon') return closed(region.points, view);
  const { x, y, width, height } = boundsOf(region);
  const [left, top] = toScreen(view, [x, y]);
  return `M${left} ${top}h${width * view.zoom}v${height * view.zoom}h${-width * view.zoom}z`;
}

const closed = (points: readonly Point[], view: View): string =>
  `M${points.map((point) => toScreen(view, point).join(' ')).join('L')}z`;

/** A line that shows on any picture: dark on a light halo. */
function line(d: string, kind: string): readonly SVGElement[] {
  return [svg('path', { d, class: `halo ${kind}` }), svg('path', { d, class: `line ${kind}` })];
}

function label(text: string, [x, y]: Point): SVGElement {
  return svg('text', { x, y, class: 'tag' }, text);
}

function handle([x, y]: Point, active: boolean, round: boolean): SVGElement {
  const size = active ? 8 : 5;
  return round
    ? svg('circle', { cx: x, cy: y, r: size + 1, class: active ? 'handle active' : 'handle' })
    : svg('rect', {
        x: x - size,
        y: y - size,
        width: 2 * size,
        height: 2 * size,
        class: active ? 'handle active' : 'handle',
      });
}

function quadLines(quad: Quad, rows: number, columns: number, view: View): readonly SVGElement[] {
  const at = mapQuad(quad);
  const lines: string[] = [closed(quad, view)];
  for (let column = 1; column < columns; column += 1) {
    lines.push(closed([at(column / columns, 0), at(column / columns, 1)], view));
  }
  for (let row = 1; row < rows; row += 1) lines.push(closed([at(0, row / rows), at(1, row / rows)], view));
  return line(lines.join(''), 'draft');
}

/** Everything drawn over the frame, in screen coordinates, so that lines and handles keep their size. */
export function overlayOf(state: PageState): readonly SVGElement[] {
  const { view, tool, selection } = state;
  const { sheet } = state.history;
  const drawn: SVGElement[] = [];
  const chosen = new Set(selection);
  const shape = (region: Region, kind: string): void => {
    drawn.push(...line(pathOf(region, view), `${kind}${chosen.has(region.id) ? ' chosen' : ''}`));
    const [x] = toScreen(view, centreOf(region));
    const [, top] = toScreen(view, [0, boundsOf(region).y]);
    drawn.push(label(region.id, [x, top - 5]));
  };
  for (const region of sheet.white) shape(region, 'patch');
  for (const region of sheet.regions) shape(region, 'vial');
  const { regions: found = [], white: patches = [], filled = [] } = state.proposals ?? {};
  for (const region of [...found, ...patches]) {
    const guessed = filled.includes(region.id);
    drawn.push(...line(pathOf(region, view), guessed ? 'proposal guessed' : 'proposal'));
    const [x] = toScreen(view, centreOf(region));
    const [, top] = toScreen(view, [0, boundsOf(region).y]);
    drawn.push(label(guessed ? `${region.id} ?` : region.id, [x, top - 5]));
  }
  if (sheet.chart !== null) drawn.push(...quadLines(sheet.chart.corners, sheet.chart.rows, sheet.chart.columns, view));
  if (tool === 'rack') {
    drawn.push(...line(closed(state.rack.corners, view), 'draft'));
    for (const region of rackRegions(state.rack, (row, column) => `${row}/${column}`)) {
      drawn.push(...line(pathOf(region, view), 'draft'));
    }
  }
  if (state.corners.length > 0) drawn.push(...line(closed(state.corners, view), 'draft'));
  const quad = editedQuad(state);
  const single = selection.length === 1 ? findRegion(sheet, selection[0]!) : undefined;
  const shaped = single !== undefined && tool === 'select' ? single : undefined;
  const handles = quad ?? (shaped === undefined ? state.corners : handlesOf(shaped));
  const shown = shaped === undefined ? null : new Set(shownHandles(shaped, view.zoom));
  handles.forEach((point, index) => {
    const active = state.handle === index;
    if (shown === null || shown.has(index) || active) drawn.push(handle(toScreen(view, point), active, quad !== null));
  });
  return drawn;
}
