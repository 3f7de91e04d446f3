import { describe, expect, it } from 'vitest';
import { coarseToFine, createFrameStore, lookIndices, spreadIndices } from '../../src/rig-page/server/frame-store.ts';
import { drawnAccess, drawnSize } from './drawn-rack.ts';

describe('frames for strips', () => {
  it('begin and end with the source, about 20 of them', () => {
    expect(spreadIndices(1)).toEqual([0]);
    expect(spreadIndices(3)).toEqual([0, 1, 2]);
    const many = spreadIndices(481);
    expect([many.length, many[0], many.at(-1)]).toEqual([22, 0, 480]);
    for (const count of [2, 9, 23, 320, 481]) {
      expect(
        [...lookIndices(count)].every((look) => spreadIndices(count).includes(look)),
        String(count),
      ).toBe(true);
    }
  });

  it('come in an order that is spread from the beginning, every place once', () => {
    for (const count of [1, 2, 3, 5, 20]) {
      expect([...coarseToFine(count)].sort((one, other) => one - other)).toEqual([...Array(count).keys()]);
    }
    expect(coarseToFine(20).slice(0, 3)).toEqual([0, 19, 10]);
  });

  it('are decoded once, never two at a time, and what is looked at first', async () => {
    const asked: number[] = [];
    let running = 0;
    const access = drawnAccess();
    const store = createFrameStore({
      ...access,
      still: async (index) => {
        running += 1;
        expect(running).toBe(1);
        asked.push(index);
        const image = await access.still(index);
        await new Promise((resolve) => setTimeout(resolve, 2));
        running -= 1;
        return image;
      },
    });
    const spread = store.spread();
    await store.spread(3);
    const shown = store.whole(6);
    await Promise.all([spread, shown]);
    await store.spread();
    expect(asked).toHaveLength(23);
    expect(store.looks()).toHaveLength(8);
    expect(asked.indexOf(6)).toBeLessThan(8);
    expect((await spread)[0]).toMatchObject({ ...drawnSize, factor: 1 });
  });
});
