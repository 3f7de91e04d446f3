import type { Region } from '../../../model/region.ts';
import type { Role } from '../../../model/run.ts';
import type { ChartDraft, PlainObject } from '../../messages.ts';

/** One vial as typed; empty text = left out of the file. */
export interface VialDraft {
  readonly label: string;
  readonly role: Role;
  readonly added: string;
  readonly group: string;
  readonly expect: '' | 'resists' | 'reacts';
  /** The value that the role asks for: level of a standard, extent of a mixture, identity of a known. */
  readonly value: string;
  /** Keys of an opened file that the page does not show; written back as they were. */
  readonly extra: PlainObject;
}

export type VialField = Exclude<keyof VialDraft, 'extra'>;

/** How frames get their times. `lasted`: the film's real length, written as a speed or an interval. */
export type TimingKind = 'interval' | 'speed' | 'lasted' | 'exif';

/** Settings of the run as typed. */
export interface RunDraft {
  readonly file: string;
  readonly name: string;
  readonly timing: TimingKind;
  readonly timingValue: string;
  readonly reaction: string;
  readonly readAt: string;
  readonly alpha: string;
  readonly margin: string;
  /** Curve of the film, as the run file has it. */
  readonly transfer: string;
  readonly extra: PlainObject;
}

export type RunField = Exclude<keyof RunDraft, 'extra'>;

/** Everything that is saved, and that undo takes back. */
export interface Sheet {
  readonly rigName: string;
  readonly regions: readonly Region[];
  readonly white: readonly Region[];
  readonly chart: ChartDraft | null;
  readonly rigExtra: PlainObject;
  /** By region id; every region of `regions` has one. */
  readonly vials: Readonly<Record<string, VialDraft>>;
  readonly run: RunDraft;
}

export const newVial: VialDraft = {
  label: '',
  role: 'sample',
  added: '',
  group: '',
  expect: '',
  value: '',
  extra: {},
};

/** Names in use, over vials and patches alike. */
export const takenNames = (sheet: Sheet): ReadonlySet<string> =>
  new Set([...sheet.regions, ...sheet.white].map(({ id }) => id));

export const isPatch = (sheet: Sheet, id: string): boolean => sheet.white.some((region) => region.id === id);

export const findRegion = (sheet: Sheet, id: string): Region | undefined =>
  sheet.regions.find((region) => region.id === id) ?? sheet.white.find((region) => region.id === id);
