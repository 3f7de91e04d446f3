import type { VialAmounts } from '../../src/model/dose-facts.ts';
import type { ColourPath, ExtentSeries } from '../../src/model/extent.ts';
import type { Fit, ModelName } from '../../src/model/fit.ts';
import type { Measurement, RegionColours } from '../../src/model/measurement.ts';
import type { Run, RunEvent, Vial } from '../../src/model/run.ts';
import type { JudgeInput } from '../../src/judge/types.ts';
import { createRandom } from '../../src/numeric/random.ts';

/** One vial of a synthetic rack: its nature and its true course, extent against seconds since dosing. */
export interface SyntheticVial extends Partial<Omit<Vial, 'region' | 'role'>> {
  readonly region?: string;
  readonly role: Vial['role'];
  readonly course?: (timeS: number) => number;
  /** Error constant over the run, extent. */
  readonly offset?: number;
  readonly fit?: Partial<Fit>;
  readonly amounts?: Partial<VialAmounts>;
  readonly vialSe?: number | null;
  readonly flags?: (frame: number) => string;
  readonly colours?: Partial<RegionColours>;
  readonly look?: Partial<Pick<ExtentSeries, 'hueDeg' | 'chroma' | 'lightness'>>;
}

export interface SyntheticRack {
  readonly vials: readonly SyntheticVial[];
  readonly intervalS?: number;
  readonly durationS?: number;
  readonly noise?: number;
  readonly seed?: string;
  readonly readAtS?: number | null;
  readonly alpha?: number;
  readonly margin?: Run['margin'];
  readonly events?: readonly RunEvent[];
  readonly path?: Partial<ColourPath>;
  readonly light?: Partial<Measurement['light']>;
  readonly measurement?: Partial<Measurement>;
  readonly input?: Partial<JudgeInput>;
}

export const flat = (): number => 0;
export const firstOrder =
  (rate: number, amplitude = 1) =>
  (timeS: number): number =>
    amplitude * (1 - Math.exp(-rate * Math.max(timeS, 0)));

/** A fit as kinetics would hand it over, for the true first-order course. */
export function firstOrderFit(rate: number, amplitude = 1, relativeSe = 0.01): Partial<Fit> {
  const estimate = (value: number) => ({
    value,
    se: Math.abs(value) * relativeSe,
    ci95: [value * (1 - 1.96 * relativeSe), value * (1 + 1.96 * relativeSe)] as const,
  });
  const half = amplitude > 0.5 ? -Math.log(1 - 0.5 / amplitude) / rate : null;
  return {
    model: 'first-order',
    rateConstant: { ...estimate(rate), unit: '1/s' },
    amplitude: estimate(amplitude),
    initialRate: estimate(rate * amplitude),
    halfTimeS: half === null ? null : { ...estimate(half), censored: 'none' },
  };
}

const noFit: Fit = {
  model: 'none',
  reason: null,
  rateConstant: null,
  amplitude: null,
  inductionS: null,
  backgroundRate: null,
  initialRate: { value: 0, se: 1e-7, ci95: [-2e-7, 2e-7] },
  halfTimeS: null,
  onsetS: null,
  pathRelative: null,
  residualSd: 0.005,
  autocorrelation: 0,
  aicc: null,
  candidates: [],
  outliers: [],
  curve: null,
};

/** A whole input of the judge, without a picture: 2 h at one frame a minute unless told otherwise. */
export function syntheticRack(rack: SyntheticRack): JudgeInput {
  const { intervalS = 60, durationS = 7200, noise = 0.003, seed = 'rack' } = rack;
  const count = Math.floor(durationS / intervalS) + 1;
  const timeRunS = Array.from({ length: count }, (_, i) => i * intervalS);
  const column = (value: number | null): (number | null)[] => timeRunS.map(() => value);
  const named = rack.vials.map((vial, i) => ({ ...vial, region: vial.region ?? `V${i + 1}` }));
  const random = createRandom(seed);
  const series = named.map((vial): ExtentSeries => {
    const addedRunS = vial.addedRunS ?? 0;
    const timeS = timeRunS.map((time) => time - addedRunS);
    const course = vial.course ?? flat;
    return {
      region: vial.region,
      addedRunS,
      timeRunS,
      timeS,
      extent: timeS.map((time) => (time < 0 ? null : course(time) + (vial.offset ?? 0) + noise * random.normal())),
      extentSe: column(noise),
      vialSe: vial.vialSe === undefined ? 0.003 : vial.vialSe,
      offPath: column(0.001),
      hueDeg: vial.look?.hueDeg ?? column(60),
      hueSeDeg: column(0.5),
      chroma: vial.look?.chroma ?? column(0.15),
      chromaSe: column(0.002),
      lightness: vial.look?.lightness ?? column(0.6),
      lightnessSe: column(0.002),
      flags: timeRunS.map((_, frame) => vial.flags?.(frame) ?? ''),
    };
  });
  return {
    run: runOf(rack, named),
    measurement: measurementOf(rack, named, timeRunS),
    path: pathOf(rack.path),
    series,
    fits: named.map((vial) => ({ ...noFit, ...vial.fit })),
    amounts: named.map((vial) => ({ region: vial.region, reagentMol: null, sampleMol: null, ...vial.amounts })),
    electronsPerReagent: 3,
    history: null,
    untilS: null,
    temperature: null,
    ...rack.input,
  };
}

type NamedVial = SyntheticVial & { readonly region: string };

function runOf(rack: SyntheticRack, vials: readonly NamedVial[]): Run {
  return {
    name: 'synthetic',
    file: '/run.yaml',
    rigFile: '/rig.json',
    rig: {
      name: 'rig',
      frame: { width: 2000, height: 400 },
      regions: vials.map((vial, i) => ({
        id: vial.region,
        shape: 'rect',
        x: 100 + 100 * i,
        y: 100,
        width: 60,
        height: 100,
      })),
      white: [],
      chart: null,
      thumbnail: null,
    },
    source: [],
    timing: { kind: 'interval', intervalS: rack.intervalS ?? 60 },
    reaction: { name: 'acid-dichromate', file: '/reaction.json' },
    readAtS: rack.readAtS === undefined ? 6600 : rack.readAtS,
    alpha: rack.alpha ?? 0.05,
    margin: rack.margin ?? { unit: 'extent', value: 0.05 },
    transfer: 'srgb',
    pathFile: null,
    planFile: null,
    temperatureFile: null,
    events: rack.events ?? [],
    record: {},
    dose: null,
    vials: vials.map((vial) => ({
      region: vial.region,
      label: vial.label ?? vial.region,
      role: vial.role,
      addedRunS: vial.addedRunS ?? 0,
      expect: vial.expect ?? null,
      group: vial.group ?? null,
      levelMolPercent: vial.levelMolPercent ?? null,
      extent: vial.extent ?? null,
      identity: null,
      sampleMl: null,
      sampleG: null,
      densityGMl: null,
      molarMassGMol: null,
    })),
  };
}

function measurementOf(rack: SyntheticRack, vials: readonly NamedVial[], timeRunS: readonly number[]): Measurement {
  const column = (value: number | null): (number | null)[] => timeRunS.map(() => value);
  return {
    schema: 'vialapse/measurement@1',
    source: {
      kind: 'video',
      width: 2000,
      height: 400,
      frameCount: timeRunS.length,
      durationS: timeRunS.at(-1) ?? 0,
      codec: 'h264',
      bitDepth: 8,
      chromaSubsampled: true,
      transferTag: null,
      conversion: null,
      decoder: 'none',
      notes: [],
      inputs: [],
    },
    glance: false,
    frames: { index: timeRunS.map((_, i) => i), timeRunS },
    framesRead: timeRunS.length,
    rejected: [],
    vials: vials.map((vial) => ({
      id: vial.region,
      kind: 'vial',
      red: column(0.5),
      green: column(0.3),
      blue: column(0),
      redSe: column(0.002),
      greenSe: column(0.002),
      blueSe: column(0.002),
      redClipped: column(0),
      greenClipped: column(0),
      blueClipped: column(1),
      leftOut: column(0.1),
      samples: column(400),
      halvesDeltaE: column(0.01),
      texture: column(0.01),
      meniscusY: column(null),
      ...vial.colours,
    })),
    patches: [],
    motion: { dx: column(0), dy: column(0), rotation: column(0), scale: column(1) },
    light: {
      basis: 'patches',
      redGain: column(1),
      greenGain: column(1),
      blueGain: column(1),
      gainSe: column(0.001),
      driftRange: 0.01,
      ...rack.light,
    },
    notes: [],
    stills: [],
    ...rack.measurement,
  };
}

/** A pinned path whose error is nil at both ends and largest in the middle. */
function pathOf(changes: Partial<ColourPath> = {}): ColourPath {
  const extent = Array.from({ length: 21 }, (_, i) => i / 20);
  const random = createRandom('path');
  return {
    source: 'fitted',
    pins: ['extent 0: blank', 'extent 1: plateau of the positives'],
    pinnedStart: true,
    pinnedEnd: true,
    extent,
    linearRgb: extent.map((e) => [0.5 - 0.3 * e, 0.3, 0.1 * e] as const),
    residual: 0.004,
    extentError: 0.015,
    draws: Array.from({ length: 60 }, () => {
      const size = 0.02 * random.normal();
      return extent.map((e) => size * 4 * e * (1 - e));
    }),
    notes: [],
    ...changes,
  };
}

/** The usual rack: blank, two positives, `negatives` negatives, then the samples. */
export function usualVials(negatives: number, samples: readonly SyntheticVial[]): readonly SyntheticVial[] {
  const rate = 1 / 900;
  const offsets = [0.001, -0.003, 0.004, -0.002, 0.002];
  return [
    { region: 'B', role: 'blank' },
    { region: 'P1', role: 'positive', label: '1-butanol', course: firstOrder(rate), fit: firstOrderFit(rate) },
    { region: 'P2', role: 'positive', label: '2-butanol', course: firstOrder(2 * rate), fit: firstOrderFit(2 * rate) },
    ...Array.from({ length: negatives }, (_, i) => ({
      region: `N${i + 1}`,
      role: 'negative' as const,
      label: 'tert-butanol',
      offset: offsets[i % offsets.length]!,
    })),
    ...samples.map((sample, i) => ({ region: `S${i + 1}`, ...sample })),
  ];
}

export type { ModelName };
