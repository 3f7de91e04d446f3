import type { RgbImage } from '../../src/model/frame.ts';
import type { RectRegion } from '../../src/model/region.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { mapQuad, type Quad } from '../../src/rig-page/page/geometry/quad-map.ts';

/** A colour in linear light, 0..1. */
type Light = readonly [number, number, number];

/**
 * A drawn rack, not the project's simulator: flat boxes of coloured liquid in glass with caps, labels, a stripe of
 * glare and dark walls, on all kinds of boards, in perspective.
 */
export interface DrawnRack {
  readonly rows: number;
  readonly columns: number;
  readonly width: number;
  readonly height: number;
  /** Outer corners of the block of cells, shares of the frame: top left, top right, bottom right, bottom left. */
  readonly corners: Quad;
  readonly board: Light;
  /** Change of the board's brightness from left to right, relative. */
  readonly shade: number;
  /** Depth of a checked or grained pattern on the board, relative. */
  readonly pattern: number;
  readonly cap: Light | null;
  /** A paper label round the glass, between cap and liquid. */
  readonly label: boolean;
  /** Share of the cell's height that liquid `index` fills. */
  readonly fill: (index: number) => number;
  /** Extent of vial `index` at look `look` of `looks`; `null`: empty or missing. */
  readonly extent: (index: number, share: number) => number | null;
  /** Places without a vial. */
  readonly missing: readonly number[];
  readonly glare: number;
  /** Other things in the picture: boxes in shares of the frame. */
  readonly things: readonly {
    readonly x: number;
    readonly y: number;
    readonly w: number;
    readonly h: number;
    readonly colour: Light;
  }[];
  readonly noise: number;
}

export const plainRack: DrawnRack = {
  ...{ rows: 2, columns: 6, width: 640, height: 360 },
  corners: [
    [0.12, 0.08],
    [0.95, 0.08],
    [0.95, 0.95],
    [0.12, 0.95],
  ],
  board: [0.55, 0.56, 0.55],
  ...{ shade: 0.15, pattern: 0, cap: [0.02, 0.02, 0.02], label: false },
  fill: () => 0.3,
  extent: (index, share) => (index % 3 === 0 ? 0 : Math.min(1, share * (0.4 + 0.5 * (index % 3)))),
  ...{ missing: [], glare: 0.5, things: [], noise: 0.012 },
};

/** Inner glass, floor, cap and label in a cell of 1 x 1. */
const cell = { inner: 0.22, wall: 0.03, capTop: 0.06, capBottom: 0.18, floor: 0.9, bottom: 0.93 } as const;

/** Absorbances of a full width of reagent and of its product; chosen for their look alone. */
const reagent: Light = [0.03, 0.5, 2.4];
const product: Light = [1.3, 0.55, 0.9];

const encode = (linear: number): number =>
  255 * (linear <= 0.0031308 ? 12.92 * Math.max(0, linear) : 1.055 * linear ** (1 / 2.4) - 0.055);

function liquid(extent: number, across: number, light: Light): Light {
  const path = Math.sqrt(Math.max(0, 1 - across * across));
  const one = (channel: 0 | 1 | 2): number =>
    light[channel] * 10 ** -(path * ((1 - extent) * reagent[channel] + extent * product[channel]));
  return [one(0), one(1), one(2)];
}

/** Colour of a point of the rack plane; `null`: board. */
function colourAt(rack: DrawnRack, u: number, v: number, share: number): Light | null {
  const [column, row] = [Math.floor(u), Math.floor(v)];
  if (column < 0 || row < 0 || column >= rack.columns || row >= rack.rows) return null;
  const index = row * rack.columns + column;
  if (rack.missing.includes(index)) return null;
  const x = u - column - 0.5;
  const y = v - row;
  const outer = cell.inner + cell.wall;
  if (Math.abs(x) > outer || y < cell.capTop || y > cell.bottom) return null;
  if (y < cell.capBottom) return rack.cap ?? [0.5, 0.5, 0.5];
  const behind = rack.board.map((value) => 0.5 * value + 0.35) as unknown as Light;
  const surface = cell.floor - rack.fill(index);
  if (rack.label && y > cell.capBottom + 0.06 && y < Math.min(surface - 0.06, cell.capBottom + 0.3)) {
    return Math.floor(y * 40) % 3 === 0 && Math.abs(x) < 0.15 ? [0.1, 0.1, 0.25] : [0.75, 0.74, 0.7];
  }
  if (Math.abs(x) > cell.inner) return behind.map((value) => 0.6 * value) as unknown as Light;
  if (x > -0.5 * cell.inner && x < -0.36 * cell.inner && rack.glare > 0) {
    const lit = rack.glare;
    return behind.map((value) => Math.min(1, value * (1 - lit) + lit)) as unknown as Light;
  }
  const extent = rack.extent(index, share);
  if (extent === null || y < surface || y > cell.floor) return behind.map((value) => 0.9 * value) as unknown as Light;
  if (y < surface + 0.02) return behind.map((value) => 0.45 * value) as unknown as Light;
  return liquid(extent, x / cell.inner, behind);
}

/** Pixels of the frame to the rack plane (cells), by inverting the corner map with Newton's method. */
function toPlane(rack: DrawnRack): (x: number, y: number) => readonly [number, number] {
  const map = mapQuad(rack.corners.map(([x, y]) => [x * rack.width, y * rack.height]) as unknown as Quad);
  // A projective map is inverted in closed form through its matrix, found from four points.
  const [p00, p10, p01, p11] = [map(0, 0), map(1, 0), map(0, 1), map(1, 1)];
  const back = inverseOf(p00, p10, p11, p01);
  return (x, y) => {
    const [u, v] = back(x, y);
    return [u * rack.columns, v * rack.rows];
  };
}

type P = readonly [number, number];

function inverseOf(p0: P, p1: P, p2: P, p3: P): (x: number, y: number) => P {
  const [sx, sy] = [p0[0] - p1[0] + p2[0] - p3[0], p0[1] - p1[1] + p2[1] - p3[1]];
  const [dx1, dx2, dy1, dy2] = [p1[0] - p2[0], p3[0] - p2[0], p1[1] - p2[1], p3[1] - p2[1]];
  const det = dx1 * dy2 - dx2 * dy1;
  const [g, h] = [(sx * dy2 - dx2 * sy) / det, (dx1 * sy - sx * dy1) / det];
  const [a, b, c] = [p1[0] - p0[0] + g * p1[0], p3[0] - p0[0] + h * p3[0], p0[0]];
  const [d, e, f] = [p1[1] - p0[1] + g * p1[1], p3[1] - p0[1] + h * p3[1], p0[1]];
  // Adjugate of [[a b c] [d e f] [g h 1]].
  return (x, y) => {
    const u = (e - f * h) * x + (c * h - b) * y + (b * f - c * e);
    const v = (f * g - d) * x + (a - c * g) * y + (c * d - a * f);
    const w = (d * h - e * g) * x + (b * g - a * h) * y + (a * e - b * d);
    return [u / w, v / w];
  };
}

/** The picture at a share 0..1 of the run. */
export function drawPicture(rack: DrawnRack, share: number): RgbImage {
  const { width, height } = rack;
  const data = new Uint8Array(3 * width * height);
  const random = createRandom(`drawn ${share}`);
  const plane = toPlane(rack);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const thing = rack.things.find(
        (one) =>
          x >= one.x * width && x < (one.x + one.w) * width && y >= one.y * height && y < (one.y + one.h) * height,
      );
      const [u, v] = plane(x + 0.5, y + 0.5);
      const grain = 1 + rack.pattern * Math.sin(x * 0.35) * Math.sin(y * 0.21 + x * 0.02);
      const light = 1 + rack.shade * (x / width - 0.5);
      const drawn =
        colourAt(rack, u, v, share) ?? thing?.colour ?? (rack.board.map((value) => value * grain) as unknown as Light);
      const at = 3 * (y * width + x);
      for (let channel = 0; channel < 3; channel += 1) {
        const noisy = encode(drawn[channel]! * light) + 255 * rack.noise * random.normal();
        data[at + channel] = Math.max(0, Math.min(255, Math.round(noisy)));
      }
    }
  }
  return { width, height, data };
}

/** Every pixel repeated `times` across and down: a large frame without the cost of drawing it. */
export function enlarge(image: RgbImage, times: number): RgbImage {
  const [width, height] = [image.width * times, image.height * times];
  const data = new Uint8Array(3 * width * height);
  for (let y = 0; y < height; y += 1) {
    const row = 3 * Math.floor(y / times) * image.width;
    for (let x = 0; x < width; x += 1) {
      const from = row + 3 * Math.floor(x / times);
      const to = 3 * (y * width + x);
      data[to] = image.data[from]!;
      data[to + 1] = image.data[from + 1]!;
      data[to + 2] = image.data[from + 2]!;
    }
  }
  return { width, height, data };
}

/** Which vial's liquid a region lies wholly in (below the meniscus, above the floor, clear of the walls); `null`: in none. */
export function vialOf(rack: DrawnRack, region: RectRegion, times = 1): number | null {
  const plane = toPlane(rack);
  const [left, top] = [region.x / times, region.y / times];
  const [right, bottom] = [(region.x + region.width) / times, (region.y + region.height) / times];
  const corners = [plane(left, top), plane(right, top), plane(right, bottom), plane(left, bottom)];
  const [column, row] = [Math.floor(corners[0]![0]), Math.floor(corners[0]![1])];
  const index = row * rack.columns + column;
  const inside = corners.every(([u, v]) => {
    const [x, y] = [u - column - 0.5, v - row];
    return Math.abs(x) <= cell.inner && y >= cell.floor - rack.fill(index) + 0.02 && y <= cell.floor;
  });
  return inside && !rack.missing.includes(index) && column < rack.columns && row < rack.rows ? index : null;
}
