import path from 'node:path';
import type { Dose, Quantity, Run, SourcePart, Timing, Vial } from '../model/run.ts';
import type { DoseFile } from './schemas/dose.ts';
import { listedParts } from './listed-parts.ts';
import type { RunFile } from './schemas/run.ts';
import type { VialFile } from './schemas/vial.ts';

/** Outcome risk and margin where the run file gives none; the contract's defaults. */
export const defaultAlpha = 0.05;
const defaultMargin = 0.05;

function quantity(value: number, u: number | undefined): Quantity {
  return { value, u: u ?? null };
}

function maybe(value: number | undefined, u: number | undefined): Quantity | null {
  return value === undefined ? null : quantity(value, u);
}

export function sourceParts(source: RunFile['source'], folder: string): SourcePart[] {
  return listedParts(source).map(({ file, startsRunS }) => ({ file: path.resolve(folder, file), startsRunS }));
}

export function timingOf(timing: RunFile['timing']): Timing {
  if (timing.interval_s !== undefined) return { kind: 'interval', intervalS: timing.interval_s };
  if (timing.speed !== undefined) return { kind: 'speed', speed: timing.speed };
  return { kind: 'clock-exif', readings: timing.clock_readings ?? [] };
}

export function marginOf(run: RunFile): Run['margin'] {
  if (run.margin_mol_percent !== undefined) return { unit: 'mol-percent', value: run.margin_mol_percent };
  return { unit: 'extent', value: run.margin ?? defaultMargin };
}

export function doseOf(dose: DoseFile): Dose {
  const { reagent } = dose;
  return {
    reagent: {
      salt: reagent.salt,
      saltG: quantity(reagent.salt_g, reagent.salt_g_u),
      waterMl: quantity(reagent.water_ml, reagent.water_ml_u),
      acidMl: quantity(reagent.acid_ml, reagent.acid_ml_u),
      acidPercent: quantity(reagent.acid_percent, reagent.acid_percent_u),
    },
    reagentMl: quantity(dose.reagent_ml, dose.reagent_ml_u),
    sampleMl: maybe(dose.sample_ml, dose.sample_ml_u),
    sampleG: maybe(dose.sample_g, dose.sample_g_u),
  };
}

export function vialOf(vial: VialFile): Vial {
  return {
    region: vial.region,
    label: vial.label,
    role: vial.role,
    addedRunS: vial.added_run_s ?? null,
    expect: vial.expect ?? null,
    group: vial.group ?? null,
    levelMolPercent: vial.level_mol_percent ?? null,
    extent: vial.extent ?? null,
    identity: vial.identity ?? null,
    sampleMl: maybe(vial.sample_ml, vial.sample_ml_u),
    sampleG: maybe(vial.sample_g, vial.sample_g_u),
    densityGMl: maybe(vial.density_g_ml, vial.density_g_ml_u),
    molarMassGMol: maybe(vial.molar_mass_g_mol, vial.molar_mass_g_mol_u),
  };
}

/** The record as text; empty entries are left out. */
export function recordOf(record: RunFile['record']): Readonly<Record<string, string>> {
  const entries = Object.entries(record ?? {}).filter((entry): entry is [string, string] => {
    const [, value] = entry;
    return value !== null && value.trim() !== '';
  });
  return Object.fromEntries(entries);
}
