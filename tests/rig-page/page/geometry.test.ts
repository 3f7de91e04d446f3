import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Region } from '../../../src/model/region.ts';
import { handlesOf, moveHandle, shownHandles } from '../../../src/rig-page/page/geometry/handles.ts';
import { nextName, rackNames, rowLetters } from '../../../src/rig-page/page/geometry/names.ts';
import { overlaps, overlapsAmong } from '../../../src/rig-page/page/geometry/overlap.ts';
import { mapQuad, type Quad } from '../../../src/rig-page/page/geometry/quad-map.ts';
import { rackRegions, type RackLayout } from '../../../src/rig-page/page/geometry/rack.ts';
import { boundsOf, growBy, keepInside, tidy, translate } from '../../../src/rig-page/page/geometry/shape.ts';
import { fitView, toFrame, toScreen, zoomAt } from '../../../src/rig-page/page/geometry/view.ts';

const rect = (id: string, x: number, y: number, width: number, height: number): Region => ({
  id,
  shape: 'rect',
  x,
  y,
  width,
  height,
});
const square: Quad = [
  [100, 50],
  [700, 50],
  [700, 350],
  [100, 350],
];
const layout: RackLayout = { rows: 2, columns: 6, corners: square, fillX: 0.5, fillY: 0.4, shape: 'rect' };
const name = (row: number, column: number): string => `${rowLetters(row)}${column + 1}`;

describe('a rack over four corners', () => {
  it('touches the corners with its corner regions and keeps an even pitch', () => {
    const regions = rackRegions(layout, name).map(boundsOf);
    expect(regions).toHaveLength(12);
    expect(regions[0]).toMatchObject({ x: 100, y: 50 });
    expect(regions[11]!.x + regions[11]!.width).toBeCloseTo(700, 9);
    expect(regions[11]!.y + regions[11]!.height).toBeCloseTo(350, 9);
    const pitches = [1, 2, 3, 4, 5].map((column) => regions[column]!.x - regions[column - 1]!.x);
    for (const pitch of pitches) expect(pitch).toBeCloseTo(600 / 5.5, 9);
  });

  it('fills the whole block with a single vial', () => {
    const [only] = rackRegions({ ...layout, rows: 1, columns: 1 }, name);
    expect(boundsOf(only!)).toMatchObject({ x: 100, y: 50, width: 600, height: 300 });
  });

  it('maps corners to corners and straight lines to straight lines, as perspective does', () => {
    const quad: Quad = [
      [120, 80],
      [690, 40],
      [740, 390],
      [60, 330],
    ];
    const at = mapQuad(quad);
    [at(0, 0), at(1, 0), at(1, 1), at(0, 1)].forEach((point, index) => {
      expect(point[0]).toBeCloseTo(quad[index]![0], 9);
      expect(point[1]).toBeCloseTo(quad[index]![1], 9);
    });
    const [a, b, c] = [at(0, 0.3), at(0.37, 0.3), at(1, 0.3)];
    const turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    expect(Math.abs(turn)).toBeLessThan(1e-6);
  });

  it('gives finite places even while the corners are crossed', () => {
    const crossed: Quad = [square[0], square[2], square[1], square[3]];
    const regions = rackRegions({ ...layout, corners: crossed }, name);
    expect(regions).toHaveLength(layout.rows * layout.columns);
    for (const region of regions) {
      expect(Object.values(boundsOf(region)).every(Number.isFinite)).toBe(true);
    }
  });
});

describe('names', () => {
  it('go on after Z and never repeat', () => {
    expect([0, 25, 26, 51, 52].map(rowLetters)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA']);
    expect(nextName('A9', new Set(['A10']))).toBe('A11');
    expect(nextName('W', new Set())).toBe('W2');
    expect(rackNames(new Set(['A1', 'A2']), 0)(0, 0)).toBe('A3');
  });
});

describe('shapes', () => {
  const shapes: readonly Region[] = [
    rect('r', 10, 20, 30, 40),
    { id: 'e', shape: 'ellipse', cx: 50, cy: 60, rx: 20, ry: 30 },
    {
      id: 'p',
      shape: 'polygon',
      points: [
        [0, 0],
        [40, 10],
        [20, 50],
      ],
    },
  ];

  it('move and move back to where they were', () => {
    for (const shape of shapes) expect(translate(translate(shape, 7, -3), -7, 3)).toEqual(shape);
  });

  it('grow to the right and down only', () => {
    for (const shape of shapes) {
      const [before, after] = [boundsOf(shape), boundsOf(growBy(shape, 5, 10))];
      expect(after.x).toBeCloseTo(before.x, 9);
      expect(after.width).toBeCloseTo(before.width + 5, 9);
      expect(after.height).toBeCloseTo(before.height + 10, 9);
    }
  });

  it('follow every handle to where it is put, and never turn inside out', () => {
    for (const shape of shapes) {
      handlesOf(shape).forEach(([x, y], index) => {
        const moved = handlesOf(moveHandle(shape, index, [x - 1, y - 1]))[index]!;
        expect(Math.hypot(moved[0] - x, moved[1] - y)).toBeGreaterThan(0.9);
        const crossed = boundsOf(moveHandle(shape, index, [500, 500]));
        expect(crossed.width).toBeGreaterThan(0);
        expect(crossed.height).toBeGreaterThan(0);
      });
    }
  });

  it('show only the corner handles of a small box', () => {
    expect(shownHandles(shapes[0]!, 1)).toEqual([0, 2, 4, 6]);
    expect(shownHandles(shapes[0]!, 4)).toHaveLength(8);
  });

  it('are pushed back into the frame together, keeping their distances', () => {
    const pushed = keepInside([rect('a', -20, 10, 30, 30), rect('b', 40, 90, 30, 30)], { width: 200, height: 115 });
    expect(pushed.map(boundsOf).map(({ x, y }) => [x, y])).toEqual([
      [0, 5],
      [60, 85],
    ]);
  });

  it('are written to a tenth of a pixel', () => {
    expect(tidy(rect('r', 1.23456, 2, 3.99999, 4))).toEqual(rect('r', 1.2, 2, 4, 4));
  });
});

describe('overlaps', () => {
  it('are found between different shapes, and not between neighbours that touch', () => {
    expect(overlaps(rect('a', 0, 0, 10, 10), rect('b', 10, 0, 10, 10))).toBe(false);
    const circle: Region = { id: 'e', shape: 'ellipse', cx: 20, cy: 20, rx: 10, ry: 10 };
    expect(overlaps(circle, rect('c', 27.5, 27.5, 5, 5))).toBe(false);
    expect(overlaps(circle, rect('c', 25, 25, 5, 5))).toBe(true);
    expect(overlaps(circle, rect('inside', 18, 18, 2, 2))).toBe(true);
    expect([...overlapsAmong([circle, rect('c', 25, 25, 5, 5), rect('d', 90, 90, 5, 5)])]).toEqual([
      ['e', ['c']],
      ['c', ['e']],
    ]);
  });
});

describe('the view', () => {
  it.each([
    [1920, 1080, 700, 440],
    [1280, 720, 474, 312],
    [640, 480, 700, 440],
  ])('of a whole frame of %d x %d leaves the zoom buttons their place on a stage of %d x %d', (w, h, width, height) => {
    const view = fitView({ width: w, height: h }, { width, height });
    const [left, top] = toScreen(view, [0, 0]);
    const [right, bottom] = toScreen(view, [w, h]);
    expect(Math.min(left, top)).toBeGreaterThanOrEqual(-1e-9);
    expect(right).toBeLessThanOrEqual(width + 1e-9);
    // Buttons of 36 px for fingers, 8 px from the edge (page/styles).
    expect(bottom).toBeLessThanOrEqual(height - 36 - 8);
  });

  it('goes to the screen and back, and keeps the point under the pointer while zooming', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 20, noNaN: true }), fc.nat(2000), fc.nat(1000), (factor, x, y) => {
        const view = fitView({ width: 1920, height: 1080 }, { width: 700, height: 500 });
        const back = toScreen(view, toFrame(view, [x, y]));
        expect(back[0]).toBeCloseTo(x, 6);
        const zoomed = zoomAt(view, factor, [x, y]);
        expect(toFrame(zoomed, [x, y])[1]).toBeCloseTo(toFrame(view, [x, y])[1], 6);
      }),
    );
  });
});
