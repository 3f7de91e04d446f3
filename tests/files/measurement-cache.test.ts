import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  measurementKey,
  readCachedMeasurement,
  settleMeasurement,
  writeCachedMeasurement,
  type MeasurementSettings,
} from '../../src/files/index.ts';
import type { Column, Measurement, RegionColours } from '../../src/model/measurement.ts';
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

  it('treats a damaged entry as none', async () => {
    const file = path.join(root, 'd', 'measurement.json');
    await writeCachedMeasurement(root, 'd', measurement);
    const text = readFileSync(file, 'utf8');
    for (const damaged of [
      text.slice(0, -40),
      '',
      'null',
      text.replace('"dx":[', '"dx":[0,'),
      text.replace('@1', '@2'),
    ]) {
      writeFileSync(file, damaged);
      expect(await readCachedMeasurement(root, 'd')).toBeNull();
    }
    expect(await readCachedMeasurement(root, 'none')).toBeNull();
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
    ];
    const keys = [settings, ...changes.map((change) => ({ ...settings, ...change }))].map(measurementKey);
    expect(new Set(keys).size).toBe(changes.length + 1);
  });
});
