import type { Point, Region } from '../../../model/region.ts';

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Smallest side a region may be dragged to, pixels; chosen: below this a handle covers the region. */
export const smallestSide = 2;

/** Smallest upright box around a region, frame pixels. */
export function boundsOf(region: Region): Box {
  if (region.shape === 'rect') return { x: region.x, y: region.y, width: region.width, height: region.height };
  if (region.shape === 'ellipse') {
    return { x: region.cx - region.rx, y: region.cy - region.ry, width: 2 * region.rx, height: 2 * region.ry };
  }
  const xs = region.points.map(([x]) => x);
  const ys = region.points.map(([, y]) => y);
  const x = Math.min(...xs);
  const y = Math.min(...ys);
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
}

export function centreOf(region: Region): Point {
  const box = boundsOf(region);
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** The same kind of shape filling another box; a polygon is stretched. */
export function fitInto(region: Region, box: Box): Region {
  const width = Math.max(smallestSide, box.width);
  const height = Math.max(smallestSide, box.height);
  if (region.shape === 'rect') return { ...region, x: box.x, y: box.y, width, height };
  if (region.shape === 'ellipse') {
    return { ...region, cx: box.x + width / 2, cy: box.y + height / 2, rx: width / 2, ry: height / 2 };
  }
  const from = boundsOf(region);
  return {
    ...region,
    points: region.points.map(([x, y]): Point => [
      box.x + ((x - from.x) / Math.max(from.width, smallestSide)) * width,
      box.y + ((y - from.y) / Math.max(from.height, smallestSide)) * height,
    ]),
  };
}

export function translate(region: Region, dx: number, dy: number): Region {
  if (region.shape === 'rect') return { ...region, x: region.x + dx, y: region.y + dy };
  if (region.shape === 'ellipse') return { ...region, cx: region.cx + dx, cy: region.cy + dy };
  return { ...region, points: region.points.map(([x, y]): Point => [x + dx, y + dy]) };
}

/** Grows a region at its right and lower side. */
export function growBy(region: Region, dWidth: number, dHeight: number): Region {
  const box = boundsOf(region);
  return fitInto(region, { ...box, width: box.width + dWidth, height: box.height + dHeight });
}

/** Moves regions together so that their common box stays inside the frame; larger ones are left where they are. */
export function keepInside(regions: readonly Region[], frame: { width: number; height: number }): readonly Region[] {
  if (regions.length === 0) return regions;
  const boxes = regions.map(boundsOf);
  const left = Math.min(...boxes.map((box) => box.x));
  const top = Math.min(...boxes.map((box) => box.y));
  const right = Math.max(...boxes.map((box) => box.x + box.width));
  const bottom = Math.max(...boxes.map((box) => box.y + box.height));
  const shift = (low: number, high: number, size: number): number =>
    high - low > size ? 0 : low < 0 ? -low : high > size ? size - high : 0;
  const dx = shift(left, right, frame.width);
  const dy = shift(top, bottom, frame.height);
  return dx === 0 && dy === 0 ? regions : regions.map((region) => translate(region, dx, dy));
}

/** Corners of the region as a closed polygon; an ellipse as 32 chords. */
export function outlineOf(region: Region): readonly Point[] {
  if (region.shape === 'polygon') return region.points;
  if (region.shape === 'rect') {
    const { x, y, width, height } = region;
    return [
      [x, y],
      [x + width, y],
      [x + width, y + height],
      [x, y + height],
    ];
  }
  return Array.from({ length: 32 }, (_, index): Point => {
    const angle = (index / 32) * 2 * Math.PI;
    return [region.cx + region.rx * Math.cos(angle), region.cy + region.ry * Math.sin(angle)];
  });
}

/** The nearest point inside the frame. */
export const holdInside = ([x, y]: Point, frame: { width: number; height: number }): Point => [
  Math.min(frame.width, Math.max(0, x)),
  Math.min(frame.height, Math.max(0, y)),
];

/** Coordinates to a tenth of a pixel: finer is not placed by hand, and the file stays readable. */
export function tidy(region: Region): Region {
  const round = (value: number): number => Math.round(value * 10) / 10;
  if (region.shape === 'rect') {
    const { id, shape } = region;
    return {
      id,
      shape,
      x: round(region.x),
      y: round(region.y),
      width: round(region.width),
      height: round(region.height),
    };
  }
  if (region.shape === 'ellipse') {
    const { id, shape } = region;
    return { id, shape, cx: round(region.cx), cy: round(region.cy), rx: round(region.rx), ry: round(region.ry) };
  }
  return { id: region.id, shape: 'polygon', points: region.points.map(([x, y]): Point => [round(x), round(y)]) };
}
