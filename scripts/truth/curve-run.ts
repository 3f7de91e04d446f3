import type { Measurement, RegionColours } from '../../src/model/measurement.ts';
import type { Region } from '../../src/model/region.ts';
import type { Quantity, Role, Run } from '../../src/model/run.ts';
import type { VialColours } from '../../src/reaction/vial-colours.ts';
import { sampleSubstance, scenarioChemistry } from './bench.ts';
import { alpha, margin, readAtS } from './racks.ts';

const frame = { width: 1280, height: 720 };
const halfDiagonal = Math.hypot(frame.width, frame.height) / 2;

export interface PlacedVial {
  readonly region: string;
  readonly role: Role;
  readonly knownExtent: number | null;
  readonly levelMolPercent?: number | null;
  /** From the middle of the frame, in half diagonals. */
  readonly place: readonly [number, number];
}

/** A run file as `loadRun` would give it, for vials that were never filmed. */
export function runOf(vials: readonly PlacedVial[]): Run {
  const regions = vials.map(({ region, place }): Region => ({
    id: region,
    shape: 'rect',
    x: frame.width / 2 + place[0] * halfDiagonal - 20,
    y: frame.height / 2 + place[1] * halfDiagonal - 30,
    width: 40,
    height: 60,
  }));
  return {
    name: 'truth',
    file: '/truth/run.yaml',
    rigFile: '/truth/rig.json',
    rig: { name: 'truth', frame, regions, white: [], chart: null, thumbnail: null },
    source: [],
    timing: { kind: 'interval', intervalS: 96 },
    reaction: { name: 'acid-dichromate', file: '' },
    readAtS,
    alpha,
    margin: { unit: 'extent', value: margin },
    transfer: 'srgb',
    pathFile: null,
    planFile: null,
    temperatureFile: null,
    events: [],
    record: {},
    dose: dose(),
    vials: vials.map((vial) => ({
      region: vial.region,
      label: vial.region,
      role: vial.role,
      addedRunS: 0,
      expect: vial.role === 'sample' ? 'resists' : null,
      group: null,
      levelMolPercent: vial.levelMolPercent ?? null,
      extent: vial.knownExtent,
      identity: null,
      sampleMl: null,
      sampleG: null,
      densityGMl: exact(sampleSubstance.densityGMl),
      molarMassGMol: exact(sampleSubstance.molarMassGMol),
    })),
  };
}

const exact = (value: number): Quantity => ({ value, u: null });

function dose(): Run['dose'] {
  const { reagent, reagentMl, sampleMl } = scenarioChemistry();
  return {
    reagent: {
      salt: reagent.salt,
      saltG: exact(reagent.saltG),
      waterMl: exact(reagent.waterMl),
      acidMl: exact(reagent.acidMl),
      acidPercent: exact(reagent.acidPercent),
    },
    reagentMl: exact(reagentMl),
    sampleMl: exact(sampleMl),
    sampleG: null,
  };
}

/** The measurement that neutral patches would leave: colours as given, gains of one with their stated error. */
export function measurementOf(vials: readonly VialColours[], gainSe: number): Measurement {
  const timeRunS = vials[0]!.timeS;
  const each = (value: number): readonly number[] => timeRunS.map(() => value);
  const nothing = timeRunS.map(() => null);
  const column = (vial: VialColours): RegionColours => {
    const of = (list: VialColours['rgb'], channel: 0 | 1 | 2): readonly (number | null)[] =>
      list.map((colour) => (colour === null ? null : colour[channel]));
    return {
      id: vial.region,
      kind: 'vial',
      red: of(vial.rgb, 0),
      green: of(vial.rgb, 1),
      blue: of(vial.rgb, 2),
      redSe: of(vial.se, 0),
      greenSe: of(vial.se, 1),
      blueSe: of(vial.se, 2),
      redClipped: each(0),
      greenClipped: each(0),
      blueClipped: vial.rgb.map((colour) => (colour !== null && colour[2] < 0.002 ? 1 : 0)),
      leftOut: each(0.1),
      samples: each(2000),
      halvesDeltaE: nothing,
      texture: nothing,
      meniscusY: nothing,
    };
  };
  return {
    schema: 'vialapse/measurement@1',
    source: {
      kind: 'video',
      ...frame,
      frameCount: timeRunS.length,
      durationS: timeRunS[timeRunS.length - 1]!,
      codec: 'none',
      bitDepth: 8,
      chromaSubsampled: false,
      transferTag: null,
      conversion: null,
      decoder: 'none',
      notes: [],
      inputs: [],
    },
    glance: false,
    frames: { index: timeRunS.map((_, index) => index), timeRunS },
    framesRead: timeRunS.length,
    rejected: [],
    vials: vials.map(column),
    patches: [],
    motion: { dx: each(0), dy: each(0), rotation: each(0), scale: each(1) },
    light: {
      basis: 'patches',
      redGain: each(1),
      greenGain: each(1),
      blueGain: each(1),
      gainSe: each(gainSe),
      driftRange: 0.01,
    },
    notes: [],
    stills: [],
  };
}
