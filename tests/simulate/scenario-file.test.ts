import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { camelKeys } from '../../src/cli/camel-keys.ts';
import { loadReaction } from '../../src/files/load-reaction.ts';
import { loadScenario } from '../../src/files/load-scenario.ts';
import { createScenario, truthOf } from '../../src/simulate/index.ts';
import { bandSpectrum, chromateBands, hexaaquaBands, sulfatoBands } from '../../src/spectra/index.ts';

const root = path.resolve(import.meta.dirname, '..', '..');
const fixtures = path.join(root, 'fixtures', 'scenarios');
let folder = '';
beforeAll(() => (folder = mkdtempSync(path.join(os.tmpdir(), 'vialapse-scenario-'))));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function refused(text: string): Promise<string> {
  const file = path.join(folder, 'scenario.yaml');
  writeFileSync(file, text);
  return loadScenario(file).then(
    () => 'accepted',
    (error: Error) => error.message,
  );
}
const head = 'schema: vialapse/scenario@1\nname: x\n';
const vial = 'vials:\n  - { label: a, role: sample, kinetics: { model: none } }\n';

describe('scenario files', () => {
  it.each(readdirSync(fixtures))('%s loads and completes', async (name) => {
    const scenario = createScenario(camelKeys(await loadScenario(path.join(fixtures, name))));
    expect(truthOf(scenario).vials.length).toBe(scenario.vials.length);
    expect(scenario.vials.length).toBeGreaterThan(6);
  });

  it('carries every written key into the scenario', async () => {
    const file = await loadScenario(path.join(fixtures, 'troubled.yaml'));
    const scenario = createScenario(camelKeys(file));
    expect(scenario.disturbances.moves).toEqual([{ atRunS: 6000, dx: 2.6, dy: -1.4 }]);
    expect(scenario.disturbances.gainSteps).toEqual([{ atRunS: 8000, gains: [1.03, 1, 0.96] }]);
    expect(scenario.light).toEqual({ drift: -0.08, colourDrift: 0.02, flicker: 0.006 });
    expect(scenario.vials[5]!.layer).toEqual({ upperShare: 0.35, upperStrength: 0.1 });
    expect(scenario.vials[6]!.precipitate).toEqual({ fromS: 3600, absorbancePerCm: 0.5 });
    expect(scenario.vials[7]!.evaporationCmH).toBe(0.1);
  });

  it('the demo’s true outcomes are those its comments tell', async () => {
    const file = await loadScenario(path.join(root, 'shared', 'demo', 'recovered-tert-butanol.yaml'));
    const truth = truthOf(createScenario(camelKeys(file)));
    expect(Object.fromEntries(truth.samples.map(({ group, outcome }) => [group, outcome]))).toEqual({
      'lot-07': 'resisted',
      'lot-11': 'reacted',
      'lot-12': 'reacted',
      'lot-14': 'reacted',
      'cut-02': 'reacted',
    });
  });

  it.each([
    ['an unknown key names the nearest', `${head}intervals: 5\n${vial}`, /interval_s/],
    ['an unknown model', `${head}vials:\n  - { label: a, role: sample, kinetics: { model: first } }\n`, /first-order/],
    ['a rack too small', `${head}rack: { rows: 1, columns: 1 }\n${vial}${vial.slice(7)}`, /2 places or more/],
    ['a negative time', `${head}interval_s: -3\n${vial}`, /line 3/],
    ['no vials', `${head}vials: []\n`, /vials/],
  ])('refuses %s', async (_what, text, message) => {
    expect(await refused(text)).toMatch(message);
  });
});

describe('shared/reactions/acid-dichromate.json', () => {
  it('holds the spectra that src/spectra computes, to four decimals', async () => {
    const reaction = await loadReaction(path.join(root, 'shared', 'reactions', 'acid-dichromate.json'));
    const bands = { chromate: chromateBands, 'chromium-aqua': hexaaquaBands, 'chromium-sulfato': sulfatoBands };
    expect(reaction.species?.map(({ id }) => id)).toEqual(Object.keys(bands));
    for (const { id, spectrum } of reaction.species ?? []) {
      const computed = bandSpectrum(bands[id as keyof typeof bands], spectrum.nm).epsilon;
      spectrum.epsilon.forEach((value, index) => expect(Math.abs(value - computed[index]!)).toBeLessThan(6e-5));
    }
    expect(reaction.electronsPerReagent).toBe(3);
  });

  it('defers to the safety data sheet and to licensed disposal', () => {
    const { cautions } = JSON.parse(
      readFileSync(path.join(root, 'shared', 'reactions', 'acid-dichromate.json'), 'utf8'),
    ) as { readonly cautions: readonly string[] };
    expect(cautions.join(' ')).toMatch(/safety data sheet/);
    expect(cautions.join(' ')).toMatch(/licensed disposal/);
  });
});
