import { chartCells } from '../light/index.ts';
import { boundingBox } from '../model/region-box.ts';
import type { PolygonRegion, Region } from '../model/region.ts';
import type { Run } from '../model/run.ts';
import { escapeXml } from '../report/escape.ts';

/** Paper, ink and grey of the project's look; the only colours are the camera's. */
const ink = '#1c1c1c';
const paper = '#ffffff';

/** Width of the picture below which the names could not be read, pixels. Chosen. */
const smallestWidth = 640;
/** Letters of a legend line that are shown; the run file has the rest. */
const longestLabel = 44;

/** The run's regions on a frame, and a legend of what is in them. `photo` is the frame as a JPEG, base64. */
export function previewSvg(run: Run, photo: string): string {
  const { width, height } = run.rig.frame;
  // All sizes follow the frame, so that a 4K picture reads like a small one; a smaller one is drawn larger.
  const unit = width / 100;
  const zoom = Math.max(1, smallestWidth / width);
  const text = 1.5 * unit;
  const line = 2.1 * unit;
  const columns = 2;
  const rows = Math.ceil(run.vials.length / columns);
  const legend = (rows + 2.5) * line;
  const used = new Map(run.vials.map((vial) => [vial.region, vial]));
  const marks = [
    ...run.rig.regions.map((region) => mark(region, unit, used.has(region.id) ? 'vial' : 'idle')),
    ...run.rig.white.map((region) => mark(region, unit, 'white')),
    ...(run.rig.chart === null ? [] : chartCells(run.rig.chart).map((cell) => cellMark(cell, unit))),
  ];
  const ordered = run.rig.regions.flatMap(({ id }) => used.get(id) ?? []);
  const entries = ordered.map((vial, index) => {
    const x = unit * 2 + Math.floor(index / rows) * (width / columns);
    const y = height + line * (2.2 + (index % rows));
    const label = vial.label.length > longestLabel ? `${vial.label.slice(0, longestLabel - 1)}…` : vial.label;
    return (
      `<text x="${x}" y="${y}" fill="${ink}"><tspan font-weight="bold">${escapeXml(vial.region)}</tspan>` +
      `<tspan dx="${unit}">${escapeXml(vial.role)}</tspan><tspan dx="${unit}">${escapeXml(label)}</tspan></text>`
    );
  });
  const title = [
    `${run.name}: ${run.vials.length} vials.`,
    ...(run.rig.white.length > 0 ? ['Dashed: neutral patch.'] : []),
    ...(run.rig.chart === null ? [] : ['Small squares: what is read of the chart, A1 at its top left.']),
    ...(used.size < run.rig.regions.length ? ['Dotted: in the rig, not in this run.'] : []),
  ].join(' ');
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ` +
    `viewBox="0 0 ${width} ${height + legend}" width="${Math.round(zoom * width)}" height="${Math.ceil(zoom * (height + legend))}" ` +
    `font-family="DejaVu Sans" font-size="${text}">` +
    `<rect width="${width}" height="${height + legend}" fill="${paper}"/>` +
    `<image width="${width}" height="${height}" xlink:href="data:image/jpeg;base64,${photo}"/>` +
    `${marks.join('')}` +
    `<text x="${unit * 2}" y="${height + line}" fill="${ink}">${escapeXml(title)}</text>` +
    `${entries.join('')}</svg>`
  );
}

const dashes = { vial: '', white: '2 1', idle: '0.4 0.8' } as const;

/** An outline that is seen on light and dark alike, and its name above it (below it at the upper edge). */
function mark(region: Region, unit: number, kind: keyof typeof dashes): string {
  const dash =
    dashes[kind] === ''
      ? ''
      : dashes[kind]
          .split(' ')
          .map((part) => Number(part) * unit)
          .join(' ');
  const outline = (colour: string, wide: number, dashed: string): string =>
    shape(
      region,
      `fill="none" stroke="${colour}" stroke-width="${wide}"${dashed === '' ? '' : ` stroke-dasharray="${dashed}"`}`,
    );
  const { left, right, top, bottom } = boundingBox(region);
  const above = top > 2.2 * unit;
  const y = above ? top - 0.6 * unit : bottom + 1.8 * unit;
  const name = `x="${(left + right) / 2}" y="${y}" text-anchor="middle" font-weight="bold"`;
  const id = escapeXml(region.id);
  return (
    outline(paper, 0.4 * unit, '') +
    outline(ink, 0.18 * unit, dash) +
    `<text ${name} stroke="${paper}" stroke-width="${0.5 * unit}" stroke-linejoin="round">${id}</text>` +
    `<text ${name} fill="${ink}">${id}</text>`
  );
}

/** The part of a chart's cell that is read; the first one named, so that a turned chart is seen. */
function cellMark(cell: PolygonRegion, unit: number): string {
  const [x, y] = cell.points[0]!;
  const name =
    cell.id === 'A1'
      ? `<text x="${x}" y="${y - 0.3 * unit}" font-size="${1.1 * unit}" fill="${ink}" stroke="${paper}" stroke-width="${0.3 * unit}" paint-order="stroke">A1</text>`
      : '';
  return (
    shape(cell, `fill="none" stroke="${paper}" stroke-width="${0.2 * unit}"`) +
    shape(cell, `fill="none" stroke="${ink}" stroke-width="${0.1 * unit}"`) +
    name
  );
}

function shape(region: Region, style: string): string {
  switch (region.shape) {
    case 'rect':
      return `<rect x="${region.x}" y="${region.y}" width="${region.width}" height="${region.height}" ${style}/>`;
    case 'ellipse':
      return `<ellipse cx="${region.cx}" cy="${region.cy}" rx="${region.rx}" ry="${region.ry}" ${style}/>`;
    case 'polygon':
      return `<polygon points="${region.points.map(([x, y]) => `${x},${y}`).join(' ')}" ${style}/>`;
  }
}
