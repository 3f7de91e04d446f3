import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  measurementKey,
  readCachedMeasurement,
  settleMeasurement,
  writeCachedMeasurement,
  type MeasurementSettings,
} from '../../src/files/index.ts';
import { packColumns } from '../../src/files/packed-columns.ts';
import { roundColumn } from '../../src/files/round-column.ts';
import type { Column, Measurement, RegionColours } from '../../src/model/measurement.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { workspace } from './workspace.ts';

const root = workspace();
const thirds: Column = [1 / 3, null, 2 / 3];
const colours = (id: string, kind: RegionColours['kind']): RegionColours => ({
  id,
  kind,
  red: thirds,
  green: thirds,
  blue: [0, NaN, 1e-9 / 3],
  redSe: thirds,
  greenSe: thirds,
  blueSe: thirds,
  redClipped: thirds,
  greenClipped: thirds,
  blueClipped: thirds,
  leftOut: thirds,
  samples: [100, 100, 100],
  halvesDeltaE: thirds,
  texture: thirds,
  meniscusY: thirds,
});
const measurement: Measurement = {
  schema: 'vialapse/measurement@1',
  source: {
    kind: 'video',
    width: 640,
    height: 480,
    frameCount: 3,
    durationS: 172_800.123,
    codec: 'h264',
    bitDepth: 8,
    chromaSubsampled: true,
    transferTag: null,
    conversion: 'bt709, limited (assumed)',
    decoder: 'ffmpeg',
    notes: [],
    inputs: [{ path: 'a.mp4', sha256: 'a'.repeat(64) }],
  },
  glance: false,
  frames: { index: [0, 1, 1_234_567], timeRunS: [0, 1 / 3, 172_800.1234] },
  framesRead: 3,
  rejected: [],
  vials: [colours('A1', 'vial')],
  patches: [colours('W', 'white')],
  motion: { dx: thirds, dy: thirds, rotation: thirds, scale: thirds },
  light: { basis: 'patches', redGain: thirds, greenGain: thirds, blueGain: thirds, gainSe: thirds, driftRange: 0.01 },
  notes: [],
  stills: [],
};

describe('the measurement cache', () => {
  it('gives back what it gave when writing, rounded to six digits and to milliseconds', async () => {
    const written = await writeCachedMeasurement(root, 'k', measurement);
    expect(await readCachedMeasurement(root, 'k')).toEqual(written);
    expect(settleMeasurement(measurement)).toEqual(written);
    expect(settleMeasurement(written)).toEqual(written);
    expect(written.vials[0]!.red).toEqual([0.333333, null, 0.666667]);
    expect(written.vials[0]!.blue).toEqual([0, null, 3.33333e-10]);
    expect(written.frames).toEqual({ index: [0, 1, 1_234_567], timeRunS: [0, 0.333, 172_800.123] });
  });

  it('rounds as JavaScript writes six significant digits, ties and every size included', () => {
    const random = createRandom('six digits');
    const values = [
      ...Array.from({ length: 20_000 }, () => (random.uniform() - 0.5) * 10 ** (60 * random.uniform() - 40)),
      ...Array.from({ length: 2_000 }, () => (Math.floor(1e6 * random.uniform()) + 0.5) * 10 ** -6),
      ...[0.9999995, 0.99999949, 9.9999951, 123456.5, 1234567.5, 1e-7, 5e-324, 1.7e308, 0.1 + 0.2],
    ];
    const asWritten = (value: number): number => (Number.isInteger(value) ? value : Number(value.toPrecision(6)));
    expect([...roundColumn(values, 'red')]).toEqual(values.map(asWritten));
  });

  it('treats a damaged entry, one of another kind and one of an earlier version as none', async () => {
    const file = path.join(root, 'd', 'measurement.bin');
    await writeCachedMeasurement(root, 'd', measurement);
    const bytes = readFileSync(file);
    const changed = (at: number): Buffer => {
      const copy = Buffer.from(bytes);
      copy[at]! ^= 1;
      return copy;
    };
    const uneven = { ...measurement, motion: { ...measurement.motion, dx: [0, ...thirds] } };
    const odd = { ...measurement, schema: 'vialapse/measurement@2' };
    for (const damaged of [
      bytes.subarray(0, -40),
      Buffer.alloc(0),
      Buffer.from('{}'),
      changed(3),
      changed(bytes.length >> 1),
      changed(bytes.length - 1),
      packColumns(uneven, roundColumn),
      packColumns(odd, roundColumn),
      packColumns(null, roundColumn),
    ]) {
      writeFileSync(file, damaged);
      expect(await readCachedMeasurement(root, 'd')).toBeNull();
    }
    writeFileSync(file, bytes);
    expect(await readCachedMeasurement(root, 'd')).not.toBeNull();
    expect(await readCachedMeasurement(root, 'none')).toBeNull();
    mkdirSync(path.join(root, 'old'));
    writeFileSync(path.join(root, 'old', 'measurement.json'), JSON.stringify(measurement));
    expect(await readCachedMeasurement(root, 'old')).toBeNull();
  });
});

describe('measurementKey', () => {
  const settings: MeasurementSettings = {
    inputs: [{ sha256: 'a'.repeat(64), startsRunS: null }],
    frame: { width: 640, height: 480 },
    regions: [{ id: 'A1', shape: 'rect', x: 1, y: 2, width: 30, height: 40 }],
    white: [],
    thumbnail: null,
    chart: null,
    timing: { kind: 'interval', intervalS: 20 },
    transfer: 'srgb',
    glance: false,
    untilS: null,
    version: '0.1.0',
    decoder: 'ffmpeg 4',
    measuringId: 'a',
  };

  it('does not depend on the order of keys', () => {
    const turned = Object.fromEntries(Object.entries(settings).reverse()) as unknown as MeasurementSettings;
    expect(measurementKey(turned)).toBe(measurementKey(settings));
    expect(measurementKey(settings)).toMatch(/^[0-9a-f]{32}$/);
  });

  it('changes with everything that a measurement depends on', () => {
    const changes: Partial<MeasurementSettings>[] = [
      { inputs: [{ sha256: 'b'.repeat(64), startsRunS: null }] },
      { inputs: [{ sha256: 'a'.repeat(64), startsRunS: 5 }] },
      { frame: { width: 641, height: 480 } },
      { regions: [{ id: 'A1', shape: 'rect', x: 1, y: 2, width: 30, height: 41 }] },
      { white: settings.regions },
      { thumbnail: 'data:' },
      { chart: { corners: [], sha256: 'c' } },
      { timing: { kind: 'interval', intervalS: 21 } },
      { timing: { kind: 'speed', speed: 20 } },
      { transfer: 'bt709' },
      { glance: true },
      { untilS: 60 },
      { version: '0.1.1' },
      { decoder: 'ffmpeg 5' },
      { measuringId: 'b' },
      { measuringId: null },
    ];
    const keys = [settings, ...changes.map((change) => ({ ...settings, ...change }))].map(measurementKey);
    expect(new Set(keys).size).toBe(changes.length + 1);
  });
});
