import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { keptStep, type KeptPlace } from '../../src/files/index.ts';
import { workspace } from './workspace.ts';

const root = workspace();
let folders = 0;
const newPlace = (codeId = 'code'): KeptPlace => ({ folder: path.join(root, `kept-${(folders += 1)}`), codeId });
const fileOf = ({ folder }: KeptPlace): string => path.join(folder, 'step.bin');

const outcome = () => ({
  curve: [0.1, null, NaN, -0, 1e300],
  se: NaN,
  name: 'A1',
  flags: ['', 'clipped'],
  none: undefined,
});
/** What a JSON file would make of it: that is what the outcome must be from the first time on. */
const readBack = { curve: [0.1, null, null, -0, 1e300], se: null, name: 'A1', flags: ['', 'clipped'] };

/** Runs the step; its outcome and whether it was made anew. */
async function run(place: KeptPlace | null, dependsOn: unknown, made: () => unknown = outcome) {
  let count = 0;
  const value = await keptStep(place, 'step', dependsOn, () => {
    count += 1;
    return made();
  });
  return { value, anew: count === 1 };
}

describe('a kept step', () => {
  it('is the same whether made, read again, or not kept at all', async () => {
    const place = newPlace();
    expect(await run(place, { alpha: 0.05 })).toStrictEqual({ value: readBack, anew: true });
    expect(await run(place, { alpha: 0.05 })).toStrictEqual({ value: readBack, anew: false });
    expect(await run(null, { alpha: 0.05 })).toStrictEqual({ value: readBack, anew: true });
  });

  it('is made anew when anything it depends on has changed, and the order of keys is nothing', async () => {
    const place = newPlace();
    await run(place, { alpha: 0.05, vials: ['A1', 'A2'] });
    expect((await run(place, { vials: ['A1', 'A2'], alpha: 0.05 })).anew).toBe(false);
    expect((await run(place, { vials: ['A2', 'A1'], alpha: 0.05 })).anew).toBe(true);
    expect((await run(place, { vials: ['A2', 'A1'], alpha: 0.01 })).anew).toBe(true);
    expect((await run({ ...place, codeId: 'other code' }, { vials: ['A2', 'A1'], alpha: 0.01 })).anew).toBe(true);
  });

  it('takes a damaged, cut or foreign file for none and replaces it', async () => {
    const place = newPlace();
    await run(place, 1);
    const whole = readFileSync(fileOf(place));
    const flipped = Buffer.from(whole);
    flipped[whole.length - 3]! ^= 1;
    for (const damaged of [whole.subarray(0, whole.length - 8), whole.subarray(0, 20), flipped, Buffer.alloc(0)]) {
      writeFileSync(fileOf(place), damaged);
      expect(await run(place, 1)).toStrictEqual({ value: readBack, anew: true });
      expect(readFileSync(fileOf(place)).equals(whole)).toBe(true);
    }
  });

  it('does without a file that cannot be written', async () => {
    const place = newPlace();
    mkdirSync(fileOf(place), { recursive: true });
    expect(await run(place, 1)).toStrictEqual({ value: readBack, anew: true });
    expect(statSync(fileOf(place)).isDirectory()).toBe(true);
    rmSync(place.folder, { recursive: true });
  });
});
