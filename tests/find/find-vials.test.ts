import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { camelKeys } from '../../src/cli/camel-keys.ts';
import { loadScenario } from '../../src/files/load-scenario.ts';
import { findVials } from '../../src/find/find-vials.ts';
import type { RgbImage } from '../../src/model/frame.ts';
import type { RectRegion } from '../../src/model/region.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { createScenario, layoutOf, simulateFrames } from '../../src/simulate/index.ts';
import type { ScenarioInput } from '../../src/simulate/index.ts';

const vials = (addedRunS: number): ScenarioInput['vials'] =>
  Array.from({ length: 12 }, (_, index) => ({
    label: `v${index + 1}`,
    role: 'sample' as const,
    addedRunS: addedRunS * (1 + index / 12),
    kinetics:
      index % 2 === 0
        ? ({ model: 'none' } as const)
        : ({ model: 'first-order', k: [1e-4, 3e-4, 1e-3][index % 3]! } as const),
  }));

function look(input: Partial<ScenarioInput>, addedRunS = 0): { found: ReturnType<typeof findVials>; inLiquid: number } {
  const scenario = createScenario({
    name: 'find',
    frame: { width: 640, height: 360 },
    frameCount: 4,
    intervalS: 1500,
    vials: vials(addedRunS),
    ...input,
  });
  const found = findVials([...simulateFrames(scenario)]);
  const inLiquid = layoutOf(scenario).vials.filter((box) => {
    const hits = found.regions.filter(
      (region) =>
        region.x >= box.centreX - box.innerRadius &&
        region.x + region.width <= box.centreX + box.innerRadius &&
        region.y >= box.surface &&
        region.y + region.height <= box.floor,
    );
    return hits.length === 1;
  });
  return { found, inLiquid: inLiquid.length };
}

describe('findVials on modelled pictures', () => {
  const cases: readonly (readonly [string, Partial<ScenarioInput>, number])[] = [
    ['two rows of six', {}, 0],
    ['one row of twelve', { rack: { rows: 1, columns: 12 }, frame: { width: 960, height: 540 } }, 0],
    [
      'three rows of four with strong glare',
      { rack: { rows: 3, columns: 4, glare: 0.8 }, frame: { width: 960, height: 540 } },
      0,
    ],
    ['under a dim warm lamp', { lamp: { kind: 'blackbody', kelvin: 2800 }, camera: { exposure: 0.5 } }, 0],
    ['dosed in the middle of the film', {}, 900],
  ];
  it.each(cases)('finds 12 of 12, each wholly in liquid: %s', (_, input, addedRunS) => {
    const { found, inLiquid } = look(input, addedRunS);
    expect(found.regions).toHaveLength(12);
    expect(inLiquid).toBe(12);
    expect(found.confidence).toBeGreaterThan(0.8);
  });

  it('names them by row and place, and finds the white and the grey patch', () => {
    const { found } = look({});
    expect(found.regions.map(({ id }) => id)).toEqual([
      'A1',
      'A2',
      'A3',
      'A4',
      'A5',
      'A6',
      'B1',
      'B2',
      'B3',
      'B4',
      'B5',
      'B6',
    ]);
    expect(found.white).toHaveLength(2);
    expect(found.white.every((patch) => patch.x + patch.width < found.regions[0]!.x)).toBe(true);
    expect(look({ rack: { patches: false } }).found.white).toEqual([]);
  });
});

/** A plain drawing of our own: pools of colour on a brown board, no glass; in one picture a hand. */
function drawBoard(
  pools: readonly RectRegion[],
  colour: (index: number) => readonly [number, number, number],
  hand: boolean,
): RgbImage {
  const [width, height] = [600, 400];
  const data = new Uint8Array(3 * width * height);
  const random = createRandom('board');
  for (let at = 0; at < width * height; at += 1) {
    const x = at % width;
    const y = Math.floor(at / width);
    const pool = pools.findIndex((box) => x >= box.x && x < box.x + box.width && y >= box.y && y < box.y + box.height);
    const base =
      hand && x > 350 && y > 150 ? ([205, 150, 120] as const) : pool >= 0 ? colour(pool) : ([150, 130, 112] as const);
    for (let channel = 0; channel < 3; channel += 1)
      data[3 * at + channel] = Math.max(0, Math.min(255, base[channel]! + 4 * random.normal()));
  }
  return { width, height, data };
}

describe('findVials on the pictures of the demo, at a quarter of their size', () => {
  it('fills by the grid what paled between two looks, and says which', async () => {
    const file = path.resolve(import.meta.dirname, '../../shared/demo/recovered-tert-butanol.yaml');
    const input = camelKeys(await loadScenario(file)) as ScenarioInput;
    const scenario = createScenario({ ...input, frame: { width: 320, height: 180 }, frameCount: 6, intervalS: 3600 });
    const found = findVials([...simulateFrames(scenario)]);
    const ids = ['A', 'B'].flatMap((row) => Array.from({ length: 8 }, (_, column) => `${row}${column + 1}`));
    expect(found.regions.map(({ id }) => id)).toEqual(ids);
    layoutOf(scenario).vials.forEach((box, index) => {
      const { x, y, width, height } = found.regions[index]!;
      expect(Math.abs(x + width / 2 - box.centreX)).toBeLessThan(box.innerRadius / 2);
      expect(y >= box.surface && y + height <= box.floor).toBe(true);
    });
    expect(found.filled.length).toBeGreaterThan(0);
    expect(found.confidence).toBeLessThan(0.9);
  });
});

describe('findVials on drawings', () => {
  const pools: RectRegion[] = Array.from({ length: 8 }, (_, index) => ({
    id: `${index}`,
    shape: 'rect',
    x: 60 + 130 * (index % 4),
    y: index < 4 ? 80 : 250,
    width: 44,
    height: 60,
  }));
  const colours = [
    [230, 150, 20],
    [90, 120, 90],
  ] as const;

  it('finds pools on a coloured board, passing over a hand and a large coloured thing', () => {
    const large: RectRegion = { id: 'L', shape: 'rect', x: 20, y: 340, width: 400, height: 50 };
    const frames = [0, 1, 2, 3].map((time) =>
      drawBoard(
        [...pools, large],
        (index) => (index === 8 ? [60, 80, 200] : index % 2 === 0 && time > 1 ? colours[1] : colours[0]),
        time === 2,
      ),
    );
    const found = findVials(frames);
    expect(found.regions).toHaveLength(8);
    found.regions.forEach((region, index) => {
      const pool = pools[index]!;
      expect(
        region.x >= pool.x &&
          region.y >= pool.y &&
          region.x + region.width <= pool.x + pool.width &&
          region.y + region.height <= pool.y + pool.height,
      ).toBe(true);
    });
  });

  it('leaves a place without a vial free, and the names of the others by their columns', () => {
    const kept = pools.filter((_, index) => index !== 2);
    const found = findVials([0, 1].map(() => drawBoard(kept, () => colours[0], false)));
    expect(found.regions.map(({ id }) => id)).toEqual(['A1', 'A2', 'A4', 'B1', 'B2', 'B3', 'B4']);
    expect(found.filled).toEqual([]);
  });

  it('finds nothing on an empty board, or of no picture', () => {
    expect(findVials([drawBoard([], () => [0, 0, 0], false)]).regions).toEqual([]);
    expect(findVials([])).toEqual({ regions: [], filled: [], confidence: 0, white: [] });
  });
});
