import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadReaction, loadRig } from '../../src/files/index.ts';
import { overlapOf } from '../../src/files/region-geometry.ts';
import { changedLines, reactionText, refusal, rigText, workspace } from './workspace.ts';

const root = workspace();
function file(name: string, text: string | Uint8Array): string {
  const made = path.join(root, name);
  writeFileSync(made, text);
  return made;
}
type Loose = Record<string, unknown> & { regions: Record<string, unknown>[] };
function changed(change: (rig: Loose) => void): string {
  const rig = JSON.parse(rigText) as Loose;
  change(rig);
  return file('changed.json', JSON.stringify(rig, null, 2));
}

describe('loadRig', () => {
  it("reads the contract's rig", async () => {
    const rig = await loadRig(file('rig.json', rigText));
    expect(rig.regions.map(({ id, shape }) => [id, shape])).toEqual([
      ['A1', 'rect'],
      ['A2', 'ellipse'],
      ['A3', 'polygon'],
    ]);
    expect(rig).toMatchObject({ white: [{ id: 'W' }], chart: null, thumbnail: null });
  });

  it.each<[string, (rig: Loose) => void, string]>([
    ['a region outside the frame', (rig) => (rig.regions[0]!.x = 1900), 'region-outside-frame'],
    ['two regions on one vial', (rig) => (rig.regions[1]!.cx = 260), 'regions-overlap'],
    ['an id used twice', (rig) => (rig.regions[1]!.id = 'A1'), 'repeated-id'],
    ['an unknown shape', (rig) => (rig.regions[1]!.shape = 'elipse'), 'unknown-word'],
    ['a key of another shape', (rig) => (rig.regions[0]!.radius = 3), 'unknown-key'],
    [
      'a flat polygon',
      (rig) =>
        (rig.regions[2]!.points = [
          [1, 1],
          [5, 5],
          [9, 9],
        ]),
      'region-too-small',
    ],
    ['no region', (rig) => (rig.regions = []), 'no-regions'],
    ['half a pixel of frame', (rig) => (rig.frame = { width: 640.5, height: 480 }), 'wrong-type'],
    ['a script as thumbnail', (rig) => (rig.thumbnail = 'javascript:alert(1)'), 'invalid-value'],
  ])('refuses %s', async (_, change, code) => {
    const error = await refusal(loadRig(changed(change)));
    expect(error.details.code).toBe(code);
    const text = readFileSync(path.join(root, 'changed.json'), 'utf8');
    const [first, last] = changedLines(rigText, text);
    // What is wrong with a region as a whole is told where it begins.
    const region = text.split('\n').slice(0, first).lastIndexOf('    {') + 1;
    expect(error.details.line).toBeGreaterThanOrEqual(code.startsWith('region') ? region : first);
    expect(error.details.line).toBeLessThanOrEqual(last);
  });

  it('suggests the shape that was meant', async () => {
    const error = await refusal(loadRig(changed((rig) => (rig.regions[1]!.shape = 'elipse'))));
    expect(error.details).toMatchObject({ key: 'regions[1].shape', hint: 'did you mean "ellipse"?' });
  });

  it('refuses what is not text, a folder, and a missing file', async () => {
    expect((await refusal(loadRig(file('x.json', Uint8Array.of(0xff, 0xfe, 0x00))))).code).toBe('not-text');
    expect((await refusal(loadRig(root))).code).toBe('not-a-file');
    expect((await refusal(loadRig(path.join(root, 'none.json')))).code).toBe('file-missing');
  });
});

describe('overlapOf', () => {
  it('agrees with areas known exactly', () => {
    const square = { id: 'a', shape: 'rect', x: 0, y: 0, width: 10, height: 10 } as const;
    expect(overlapOf(square, { ...square, x: 5 })).toBeCloseTo(0.5, 2);
    expect(overlapOf(square, { ...square, x: 20 })).toBe(0);
    expect(overlapOf(square, { id: 'e', shape: 'ellipse', cx: 5, cy: 5, rx: 2, ry: 2 })).toBe(1);
    const triangle = {
      id: 't',
      shape: 'polygon',
      points: [
        [0, 0],
        [10, 0],
        [0, 10],
      ],
    } as const;
    const right = { id: 'r', shape: 'rect', x: 0, y: 0, width: 10, height: 5 } as const;
    expect(overlapOf(right, triangle)).toBeCloseTo(0.75, 1);
  });
});

describe('loadReaction', () => {
  it('reads a reaction without spectra', async () => {
    expect(await loadReaction(file('r.json', reactionText))).toMatchObject({
      species: null,
      electronsPerReagent: null,
      endColour: 'green',
    });
  });

  it('refuses spectra that are no tables', async () => {
    const species = (nm: number[], side: string) => ({
      id: side,
      name: side,
      side,
      spectrum: { nm, epsilon: [1, 2] },
      source: 's',
    });
    const reaction = (list: unknown[]) =>
      file('r.json', JSON.stringify({ ...JSON.parse(reactionText), species: list }));
    expect(
      (await refusal(loadReaction(reaction([species([400, 500], 'start'), species([400, 500], 'start')])))).code,
    ).toBe('species-missing');
    expect((await refusal(loadReaction(reaction([species([400], 'start'), species([400, 500], 'end')])))).code).toBe(
      'out-of-range',
    );
    expect(
      (await refusal(loadReaction(reaction([species([400, 390], 'start'), species([400, 500], 'end')])))).code,
    ).toBe('spectrum-order');
    const between = { from_nm: 500, to_nm: 440, log: 0.5, log_sd: 0.25 };
    const backwards = [{ ...species([400, 500], 'start'), interpolated: between }, species([400, 500], 'end')];
    expect((await refusal(loadReaction(reaction(backwards)))).code).toBe('stretch-order');
  });

  it('knows where a spectrum is interpolated only', async () => {
    const { species } = await loadReaction('shared/reactions/acid-dichromate.json');
    // the published points nearest to the stretch: 440 and 545 nm
    expect(species!.map(({ interpolated }) => interpolated)).toEqual([
      { fromNm: 440, toNm: 545, log: 0.5, logSd: 0.3 },
      undefined,
      undefined,
    ]);
  });
});
