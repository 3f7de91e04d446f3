import type { Region } from './region.ts';

/** Edges of an upright box, frame pixels. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Smallest upright box around a region. It belongs to the record: every step asks for it. */
export function boundingBox(region: Region): Box {
  switch (region.shape) {
    case 'rect':
      return { left: region.x, top: region.y, right: region.x + region.width, bottom: region.y + region.height };
    case 'ellipse':
      return {
        left: region.cx - region.rx,
        top: region.cy - region.ry,
        right: region.cx + region.rx,
        bottom: region.cy + region.ry,
      };
    case 'polygon': {
      const xs = region.points.map(([x]) => x);
      const ys = region.points.map(([, y]) => y);
      return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) };
    }
  }
}
