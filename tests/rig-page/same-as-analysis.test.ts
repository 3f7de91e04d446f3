import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { linearRgbToHex } from '../../src/colour/hex.ts';
import { linearRgbToOklab, oklabDistance, type LinearRgb } from '../../src/colour/oklab.ts';
import { decodeTransfer } from '../../src/colour/transfer.ts';
import { loadRun } from '../../src/files/index.ts';
import { openSource } from '../../src/frames/index.ts';
import { measureSource } from '../../src/measure-source.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import type { Run } from '../../src/model/run.ts';
import { openAccess, type FrameAccess } from '../../src/rig-page/index.ts';
import { createFrameStore } from '../../src/rig-page/server/frame-store.ts';
import { createRegionReadings, type Seeing } from '../../src/rig-page/server/read-regions.ts';
import { createScenario } from '../../src/simulate/index.ts';
import { temporaryFolder } from './serve.ts';

const frameCount = 22;
const frames = [0, 21];
/** Decoding and learning in full; a busy machine takes long. */
const timeout = 180_000;
let access: FrameAccess;
let run: Run;
const measured = new Map<Run['transfer'], Measurement>();

beforeAll(async () => {
  const scenario = createScenario({
    name: 'page',
    frame: { width: 480, height: 270 },
    ...{ frameCount, intervalS: 600, rack: { rows: 1, columns: 3, glare: 0.6 } },
    camera: { readNoise: 0.002 },
    vials: [1e-4, 3e-4, 0].map((k, index) => ({
      label: `v${index}`,
      role: index === 2 ? 'blank' : 'positive',
      addedRunS: 0,
      kinetics: k === 0 ? { model: 'none' } : { model: 'first-order', k },
    })),
  });
  const { runFile } = await writeSimulatedRun(scenario, temporaryFolder(), { comment: 'For one test.' });
  run = await loadRun(runFile);
  const film = run.source[0]!.file;
  access = await openAccess(film);
  for (const transfer of ['srgb', 'bt709'] as const) {
    const source = await openSource({ parts: run.source, timing: run.timing, baseDir: path.dirname(film) });
    const { rig } = run;
    const request = { source, rig, regions: rig.regions, transfer, chart: null, glance: false, onFrame: () => {} };
    measured.set(transfer, await measureSource(request));
    await source.close();
  }
}, timeout);
afterAll(() => access.close());

const linearOf = (hex: string): LinearRgb => {
  const decode = decodeTransfer('srgb');
  return [1, 3, 5].map((at) => decode(Number.parseInt(hex.slice(at, at + 2), 16) / 255)) as unknown as LinearRgb;
};

/** What `analyse` measured, before its correction of the lamp: this film's lamp stands still to 1 %. */
function analysed(measurement: Measurement, vial: number, frame: number): LinearRgb {
  const { red, green, blue } = measurement.vials[vial]!;
  const gains = measurement.light;
  const channel = (column: readonly (number | null)[], gain: readonly (number | null)[]): number =>
    column[frame]! / (gain[frame] ?? 1);
  return [channel(red, gains.redGain), channel(green, gains.greenGain), channel(blue, gains.blueGain)];
}

describe('what the page shows of a region', () => {
  it.each(['srgb', 'bt709'] as const)('is what analyse sees, with transfer %s', { timeout }, async (transfer) => {
    const measurement = measured.get(transfer)!;
    const store = createFrameStore(access);
    const images = await store.spread();
    const seeing: Seeing = {
      frame: { width: access.facts.width, height: access.facts.height },
      ...{ sampleSide: access.facts.sampleSide, transfer, looks: store.looks() },
    };
    expect(seeing.sampleSide).toBe(2);
    expect(seeing.looks).toHaveLength(6);
    const page = createRegionReadings();
    for (const [vial, region] of run.rig.regions.entries()) {
      const strip = page.strip(images, region, seeing);
      expect(strip.colours).toHaveLength(frameCount);
      for (const frame of frames) {
        const reading = page.read(await store.whole(frame), region, seeing);
        const wanted = analysed(measurement, vial, frame);
        const far = (colour: string | null): number =>
          oklabDistance(linearRgbToOklab(linearOf(colour ?? '#000000')), linearRgbToOklab(wanted));
        const where = `${region.id}, frame ${frame}: ${reading.colour} and ${linearRgbToHex(wanted)}`;
        // A tenth of a just noticeable difference of 0.02, and the half step of a colour written as #rrggbb.
        expect(far(reading.colour), where).toBeLessThan(0.006);
        expect(far(strip.colours[frame]!), where).toBeLessThan(0.006);
        expect(reading.provisional).toBe(false);
        // The analysis follows the camera; by hundredths of a pixel only here, but that decides where samples of 2 x 2 pixels fall
        // whose middles lie on pixel edges. Of this film's three vials one had 288 samples for 299, the others were equal.
        const { leftOut, samples } = measurement.vials[vial]!;
        expect(Math.abs(reading.leftOut! - leftOut[frame]!), where).toBeLessThan(0.03);
        expect(Math.abs(reading.samples / samples[frame]! - 1), where).toBeLessThan(0.04);
      }
    }
  });

  it('differs where the curve of the film differs, so that the test above can fail', () => {
    const [srgb, bt709] = [measured.get('srgb')!, measured.get('bt709')!].map((one) => analysed(one, 2, 0));
    expect(oklabDistance(linearRgbToOklab(srgb!), linearRgbToOklab(bt709!))).toBeGreaterThan(0.012);
  });
});
