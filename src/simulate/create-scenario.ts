import { cameraShapes, neutralLed, warmLed, type CameraShape, type WhiteLedShape } from '../spectra/index.ts';
import type { Kinetics, LampSpec, Scenario, ScenarioVial } from './scenario.ts';

/** Everything optional, at every depth of plain records; lists and pairs are given whole or not at all. */
type Loose<T> = T extends readonly unknown[]
  ? T
  : T extends object
    ? { readonly [K in keyof T]?: Loose<T[K]> | undefined }
    : T;

/** Kinetics as written: amplitude 1 and no background where left out. */
export type KineticsInput =
  | { readonly model: 'none' }
  | { readonly model: 'constant'; readonly extent: number }
  | { readonly model: 'zero-order'; readonly rate: number }
  | ({ readonly model: 'first-order' | 'burst-background'; readonly k: number } & Background)
  | ({ readonly model: 'first-order-induction'; readonly k: number; readonly inductionS: number } & Shape)
  | ({ readonly model: 'consecutive'; readonly k1: number; readonly k2: number } & Shape)
  | ({ readonly model: 'sigmoid'; readonly k: number; readonly middleS: number } & Shape)
  | ({ readonly model: 'second-order'; readonly k: number } & Shape)
  | { readonly model: 'colours'; readonly from: string; readonly to: string; readonly k: number };
interface Shape {
  readonly amplitude?: number | undefined;
}
interface Background extends Shape {
  readonly background?: number | undefined;
}

export type VialInput = Pick<ScenarioVial, 'label' | 'role'> & {
  readonly kinetics: KineticsInput;
} & { readonly [K in Exclude<keyof ScenarioVial, 'label' | 'role' | 'kinetics'>]?: ScenarioVial[K] | undefined };

export type LampInput =
  | ({ readonly kind: 'led'; readonly preset?: 'warm' | 'neutral' | undefined } & {
      readonly [K in keyof WhiteLedShape]?: WhiteLedShape[K] | undefined;
    })
  | Exclude<LampSpec, { readonly kind: 'led' }>;

export interface ScenarioInput extends Loose<Omit<Scenario, 'name' | 'vials' | 'lamp' | 'camera' | 'seed'>> {
  readonly name: string;
  readonly seed?: string | number | undefined;
  readonly lamp?: LampInput | undefined;
  readonly camera?:
    | (Loose<Omit<Scenario['camera'], 'shape'>> & {
        readonly preset?: keyof typeof cameraShapes | undefined;
        readonly shape?: { readonly [K in keyof CameraShape]?: CameraShape[K] | undefined } | undefined;
      })
    | undefined;
  readonly vials: readonly VialInput[];
}

/**
 * Completes a scenario. The defaults are a plain bench: neutral LED, standard camera, a rack of round shell vials of
 * 8 mm bore, 0.04 mL of sample in 0.5 mL of the usual reagent; noise of a small camera sensor. All of them are chosen.
 * Throws RangeError when the rack has fewer places than there are vials.
 */
export function createScenario(input: ScenarioInput): Scenario {
  const columns = input.rack?.columns ?? Math.min(6, input.vials.length);
  const rows = input.rack?.rows ?? Math.ceil(input.vials.length / columns);
  if (rows * columns < input.vials.length) {
    throw new RangeError(`a rack of ${rows} x ${columns} has no place for ${input.vials.length} vials`);
  }
  const { shape, preset, ...camera } = input.camera ?? {};
  return {
    name: input.name,
    seed: String(input.seed ?? 1),
    frame: { width: 1280, height: 720, ...given(input.frame) },
    frameCount: input.frameCount ?? 120,
    intervalS: input.intervalS ?? 60,
    media: {
      kind: 'h264',
      crf: 18,
      framesPerSecond: 24,
      quality: 90,
      startedAt: '2026-03-02T18:00:00',
      ...given(input.media),
    },
    reading: { readAtS: null, margin: 0.05, alpha: 0.05, ...given(input.reading) },
    lamp: lampOf(input.lamp),
    light: { drift: 0.02, colourDrift: 0.004, flicker: 0.002, ...given(input.light) },
    camera: {
      matrix: 'lamp',
      exposure: 0.9,
      whiteBalance: [1, 1, 1],
      vignetting: 0.15,
      flare: 0.003,
      readNoise: 0.003,
      shotNoise: 6e-5,
      tone: 0,
      toneGamma: 1,
      ...given(camera),
      shape: { ...cameraShapes[preset ?? 'standard'], ...given(shape) },
    },
    chemistry: {
      reagentMl: 0.5,
      sampleMl: 0.04,
      densityGMl: null,
      molarMassGMol: null,
      ...given(input.chemistry),
      // 0.1 g in 10 mL of water and 1 mL of acid: common practice, no source.
      reagent: {
        salt: 'K2Cr2O7',
        saltG: 0.1,
        waterMl: 10,
        acidMl: 1,
        acidPercent: 96,
        ...given(input.chemistry?.reagent),
      },
      chromate: given(input.chemistry?.chromate),
      chromium: given(input.chemistry?.chromium),
      sulfato: { start: 0.85, end: 0.85, timeS: 36_000, ...given(input.chemistry?.sulfato) },
      intermediate: (input.chemistry?.intermediate ?? null) as Scenario['chemistry']['intermediate'],
    },
    rack: {
      rows,
      columns,
      innerDiameterCm: 0.8,
      wallCm: 0.08,
      heightCm: 3.4,
      glare: 0.35,
      texture: 0.012,
      patches: true,
      chart: false,
      ...given(input.rack),
    },
    spread: { brightness: 0.008, path: 0.01, rate: 0.03, ...given(input.spread) },
    disturbances: { moves: [], gainSteps: [], blocked: [], ...given(input.disturbances) },
    vials: input.vials.map(vialOf),
  };
}

function vialOf(vial: VialInput): ScenarioVial {
  return {
    addedRunS: 0,
    expect: null,
    group: null,
    levelMolPercent: null,
    identity: null,
    sampleMl: null,
    densityGMl: null,
    molarMassGMol: null,
    layer: null,
    precipitate: null,
    evaporationCmH: 0,
    moved: null,
    ...given(vial),
    kinetics: kineticsOf(vial.kinetics),
  };
}

function kineticsOf(kinetics: KineticsInput): Kinetics {
  switch (kinetics.model) {
    case 'none':
    case 'constant':
    case 'zero-order':
    case 'colours':
      return kinetics;
    case 'first-order':
    case 'burst-background':
      return { ...kinetics, amplitude: kinetics.amplitude ?? 1, background: kinetics.background ?? 0 };
    default:
      return { ...kinetics, amplitude: kinetics.amplitude ?? 1 };
  }
}

function lampOf(lamp: LampInput = { kind: 'led' }): LampSpec {
  if (lamp.kind !== 'led') return lamp;
  const { preset, ...shape } = lamp;
  return { ...(preset === 'warm' ? warmLed : neutralLed), ...given(shape) };
}

/** The keys that are really there: an explicit `undefined` must not hide a default. */
function given<T extends object>(part: T | undefined): { [K in keyof T]: Exclude<T[K], undefined> } {
  const entries = Object.entries(part ?? {}).filter(([, value]) => value !== undefined);
  return Object.fromEntries(entries) as { [K in keyof T]: Exclude<T[K], undefined> };
}
