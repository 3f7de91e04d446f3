import { describe, expect, it } from 'vitest';
import { coarseToFine, createFrameStore, spreadIndices } from '../../src/rig-page/server/frame-store.ts';
import { drawnAccess, drawnSize } from './drawn-rack.ts';

describe('frames for strips', () => {
  it('begin and end with the source, about 20 of them', () => {
    expect(spreadIndices(1)).toEqual([0]);
    expect(spreadIndices(3)).toEqual([0, 1, 2]);
    const many = spreadIndices(481);
    expect([many.length, many[0], many.at(-1)]).toEqual([22, 0, 480]);
  });

  it('come in an order that is spread from the beginning, every place once', () => {
    for (const count of [1, 2, 3, 5, 20]) {
      expect([...coarseToFine(count)].sort((one, other) => one - other)).toEqual([...Array(count).keys()]);
    }
    expect(coarseToFine(20).slice(0, 3)).toEqual([0, 19, 10]);
  });

  it('are decoded once, two at a time beside the one that is looked at, which goes first', async () => {
    const asked: number[] = [];
    let running = 0;
    let most = 0;
    const access = drawnAccess();
    const store = createFrameStore({
      ...access,
      still: async (index) => {
        asked.push(index);
        running += 1;
        most = Math.max(most, running);
        const image = await access.still(index);
        await new Promise((resolve) => setTimeout(resolve, 2));
        running -= 1;
        return image;
      },
    });
    expect(store.looks()).toBeNull();
    const spread = store.spread();
    await store.spread(3);
    const shown = store.whole(6);
    await Promise.all([spread, shown]);
    await store.spread();
    expect(asked).toHaveLength(23);
    expect(new Set(asked).size).toBe(23);
    expect(most).toBeGreaterThan(1);
    expect(most).toBeLessThanOrEqual(3);
    expect(store.looks()).toHaveLength(6);
    expect(asked.indexOf(6)).toBeLessThan(8);
    expect((await spread)[0]).toMatchObject({ ...drawnSize, factor: 1 });
  });
});
