import sharp from 'sharp';
import type { Analysis } from '../../src/model/analysis.ts';
import type { ExtentSeries } from '../../src/model/extent.ts';
import type { RegionColours, Still } from '../../src/model/measurement.ts';
import type { Vial } from '../../src/model/run.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { exampleLightness, exampleLinearRgb, exampleSrgb } from './example-colours.ts';
import { exampleCurve, exampleFit } from './example-fits.ts';
import { exampleResult } from './example-result.ts';
import { exampleVials, type ExampleVial } from './example-vials.ts';

export interface ExampleOptions {
  /** Frames over the four hours; default 241 (one a minute). */
  readonly frames?: number;
  /** Rack rows of six; default 2. Further rows repeat the samples. */
  readonly rows?: number;
  /** Labels put in place of the first samples' own. */
  readonly labels?: readonly string[];
  /** Negative references turned: controls fail, nothing may be called resisting. */
  readonly failed?: boolean;
}

const durationS = 4 * 3600;

/** A finished analysis of an invented run: 12 vials in two rows, all three outcomes, a disturbed stretch, one lamp step. */
export async function exampleAnalysis(options: ExampleOptions = {}): Promise<Analysis> {
  const frames = options.frames ?? 241;
  const vials = exampleVials(options.rows ?? 2, options.labels ?? [], options.failed ?? false);
  const times = Array.from({ length: frames }, (_, index) => (index * durationS) / (frames - 1));
  const series = vials.map((vial) => exampleSeries(vial, times));
  const fits = vials.map((vial) => exampleFit(vial, durationS));
  const grid = Array.from({ length: 41 }, (_, index) => index / 40);
  return {
    run: {
      name: 'lots 07 to 10',
      file: '/bench/lots.yaml',
      rigFile: '/bench/rig.json',
      rig: {
        name: 'left bench',
        frame: { width: 1280, height: 720 },
        regions: vials.map((vial) => ({
          id: vial.region,
          shape: 'rect',
          x: vial.x,
          y: vial.y,
          width: 80,
          height: 130,
        })),
        white: [{ id: 'W', shape: 'rect', x: 30, y: 300, width: 70, height: 70 }],
        chart: null,
        thumbnail: null,
      },
      source: [{ file: '/bench/overnight.mp4', startsRunS: null }],
      timing: { kind: 'interval', intervalS: durationS / (frames - 1) },
      reaction: { name: 'acid-dichromate', file: '/shared/reactions/acid-dichromate.json' },
      readAtS: 7200,
      alpha: 0.05,
      margin: { unit: 'extent', value: 0.05 },
      transfer: 'srgb',
      pathFile: null,
      planFile: null,
      temperatureFile: null,
      events: [
        { atRunS: 5400, what: 'lamp moved', region: null },
        { atRunS: 9000, what: 'shaken', region: 'B5' },
      ],
      record: { operator: '', reagent_lot: 'R-26-031', reagent_made: '2026-03-01', notes: 'rack at 23 °C' },
      dose: null,
      vials: vials.map(runVial),
    },
    measurement: {
      schema: 'vialapse/measurement@1',
      source: {
        kind: 'video',
        width: 1280,
        height: 720,
        frameCount: frames + 2,
        durationS,
        codec: 'h264',
        bitDepth: 8,
        chromaSubsampled: true,
        transferTag: 'bt709',
        conversion: 'BT.709 limited range, from the tags',
        decoder: 'ffmpeg 4.2',
        notes: [],
        inputs: [],
      },
      glance: false,
      frames: { index: times.map((_, index) => index), timeRunS: times },
      framesRead: frames + 2,
      rejected: [
        { index: 88, timeRunS: 5280, reason: 'a hand covers the rack' },
        { index: 89, timeRunS: 5340, reason: 'a hand covers the rack' },
      ],
      vials: vials.map((vial, index) => exampleColours(vial, times, series[index]!)),
      patches: [],
      motion: { dx: [], dy: [], rotation: [], scale: [] },
      light: { basis: 'patches', redGain: [], greenGain: [], blueGain: [], gainSe: [], driftRange: 0.03 },
      notes: [],
      stills: await exampleStills(vials, frames),
    },
    path: {
      source: 'fitted',
      pins: ['extent 0: A1 (blank), A4, A5 (negative)', 'extent 1: A2, A3 (positive) from 3 h 10 min'],
      pinnedStart: true,
      pinnedEnd: true,
      extent: grid,
      linearRgb: grid.map(exampleLinearRgb),
      residual: 0.006,
      extentError: 0.015,
      draws: [],
      notes: [],
    },
    series,
    fits,
    negativeBand: {
      timeS: grid.map((at) => at * durationS),
      mean: grid.map((at) => at * 0.02),
      lower: grid.map((at) => at * 0.02 - 0.018),
      upper: grid.map((at) => at * 0.02 + 0.018),
    },
    cautions: [
      'Acidic dichromate contains chromium(VI): carcinogenic, toxic, oxidising, harmful to water.',
      'Sulfuric acid burns skin and eyes; heat is set free on dilution.',
      'Collect spent reagent as hazardous chromium waste.',
    ],
    result: exampleResult(vials, fits, durationS, frames, options.failed ?? false),
  };
}

function runVial(vial: ExampleVial): Vial {
  return {
    region: vial.region,
    label: vial.label,
    role: vial.role,
    addedRunS: vial.addedRunS,
    expect: vial.role === 'sample' ? 'resists' : null,
    group: vial.group,
    levelMolPercent: vial.role === 'standard' ? 0.5 : null,
    extent: null,
    identity: null,
    sampleMl: null,
    sampleG: null,
    densityGMl: null,
    molarMassGMol: null,
  };
}

function exampleSeries(vial: ExampleVial, times: readonly number[]): ExtentSeries {
  const random = createRandom(`series/${vial.region}`);
  const timeS = times.map((at) => at - vial.addedRunS);
  const hidden = (at: number): boolean => at < 0 || (vial.shaken && at > 9000 && at < 9400);
  const extent = timeS.map((at) => (hidden(at) ? null : exampleCurve(vial, at) + 0.006 * random.normal()));
  const known = <T>(value: T): (T | null)[] => extent.map((at) => (at === null ? null : value));
  return {
    region: vial.region,
    addedRunS: vial.addedRunS,
    timeRunS: times,
    timeS,
    extent,
    extentSe: known(0.006),
    vialSe: 0.008,
    offPath: known(0.004),
    hueDeg: extent.map((at) => (at === null ? null : exampleLightness(at).hueDeg)),
    hueSeDeg: known(0.8),
    chroma: extent.map((at) => (at === null ? null : exampleLightness(at).chroma)),
    chromaSe: known(0.002),
    lightness: extent.map((at) => (at === null ? null : exampleLightness(at).lightness)),
    lightnessSe: known(0.001),
    flags: timeS.map((at) => (vial.shaken && at > 9000 && at < 9400 ? 'disturbed' : '')),
  };
}

function exampleColours(vial: ExampleVial, times: readonly number[], series: ExtentSeries): RegionColours {
  const rgb = times.map((_, index) => exampleLinearRgb(series.extent[index] ?? exampleCurve(vial, times[index]!)));
  const all = (value: number): number[] => times.map(() => value);
  return {
    id: vial.region,
    kind: 'vial',
    red: rgb.map((colour) => colour[0]),
    green: rgb.map((colour) => colour[1]),
    blue: rgb.map((colour) => colour[2]),
    redSe: all(0.001),
    greenSe: all(0.001),
    blueSe: all(0.001),
    redClipped: all(0),
    greenClipped: all(0),
    blueClipped: all(0),
    leftOut: all(0.1),
    samples: all(2600),
    halvesDeltaE: all(0.003),
    texture: all(0.01),
    meniscusY: all(vial.y),
  };
}

async function exampleStills(vials: readonly ExampleVial[], frames: number): Promise<readonly Still[]> {
  return Promise.all(
    [0, 0.2, 0.4, 0.6, 0.8, 1].map(async (part) => {
      const bodies = vials.map((vial) => {
        const colour = exampleSrgb(exampleCurve(vial, part * durationS - vial.addedRunS));
        const glass = `<rect x="${vial.x - 8}" y="${vial.y - 70}" width="96" height="212" rx="14" fill="#e9eaec" stroke="#9aa0a6" stroke-width="3"/>`;
        return `${glass}<rect x="${vial.x - 4}" y="${vial.y}" width="88" height="136" rx="10" fill="${colour}"/>`;
      });
      const scene = `<svg xmlns="http://www.w3.org/2000/svg" width="480" height="270" viewBox="0 0 1280 720"><rect width="1280" height="720" fill="#c9c8c4"/><rect x="30" y="300" width="70" height="70" fill="#f2f2f0"/>${bodies.join('')}</svg>`;
      const jpeg = await sharp(Buffer.from(scene)).jpeg({ quality: 72 }).toBuffer();
      return {
        frame: Math.round(part * (frames - 1)),
        timeRunS: part * durationS,
        width: 480,
        height: 270,
        jpegBase64: jpeg.toString('base64'),
      };
    }),
  );
}
