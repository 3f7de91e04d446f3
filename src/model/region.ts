/** A point in pixels of the upright frame: origin at the top left corner of the top left pixel, x right, y down. */
export type Point = readonly [x: number, y: number];

export interface RectRegion {
  readonly id: string;
  readonly shape: 'rect';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface EllipseRegion {
  readonly id: string;
  readonly shape: 'ellipse';
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
}

export interface PolygonRegion {
  readonly id: string;
  readonly shape: 'polygon';
  readonly points: readonly Point[];
}

/** A closed area of the frame: one vial's liquid, or one neutral patch. */
export type Region = RectRegion | EllipseRegion | PolygonRegion;

/** A printed colour chart in the frame, with the user's own table of its colours. */
export interface Chart {
  readonly rows: number;
  readonly columns: number;
  /** Outer corners in the order top left, top right, bottom right, bottom left as the chart is read. */
  readonly corners: readonly [Point, Point, Point, Point];
  /** Path of the CGATS or CSV table, absolute after reading. */
  readonly values: string;
}

/** Camera, rack and lighting, fixed for many runs. */
export interface Rig {
  readonly name: string;
  readonly frame: { readonly width: number; readonly height: number };
  readonly regions: readonly Region[];
  /** Neutral (grey or white) patches; may be empty. */
  readonly white: readonly Region[];
  readonly chart: Chart | null;
  /** Small grey PNG as a data URL that the regions were placed on. */
  readonly thumbnail: string | null;
  /** The user's word that exposure, focus and white balance are manual; `null` or left out: not said. */
  readonly settings?: 'locked' | null | undefined;
}
