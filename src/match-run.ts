import { boundingBox } from './model/region-box.ts';
import { linkedColours } from './match/day-error.ts';
import { matchPanel } from './match/match-panel.ts';
import type { PanelMatch, VialColour } from './match/types.ts';
import { seenColours } from './match/vial-colours.ts';
import type { Measurement } from './model/measurement.ts';
import type { Run, Vial } from './model/run.ts';
import { UserError } from './errors.ts';

/** A measured run whose vials are compared. */
export interface MeasuredRun {
  readonly run: Run;
  readonly measurement: Measurement;
}

export interface RunMatch {
  readonly panel: PanelMatch;
  /** Time since dosing at which colours are compared, s; 0 for a single picture. */
  readonly readAtS: number;
  /** Vials that could not be read then, by region. */
  readonly unread: readonly string[];
  readonly vials: readonly VialColour[];
}

/** Whether a run is a panel for `match`: references of known identity, and none that must or must not react. */
export function isMatchRun({ vials }: Run): boolean {
  const has = (role: Vial['role']): boolean => vials.some((vial) => vial.role === role);
  return has('known') && !has('positive') && !has('negative');
}

/**
 * Compares the samples of a run with its own knowns, or with those of another run where `knowns` is given.
 * @throws UserError when there is nothing to compare with, or when two runs have no patch in common.
 */
export function matchRun(own: MeasuredRun, knowns: MeasuredRun | null, asShown: (run: Run) => string): RunMatch {
  const { scales, dayError } = linkedColours(
    own.measurement,
    knowns?.measurement ?? null,
    asShown(own.run),
    knowns === null ? null : asShown(knowns.run),
  );
  const readAtS = Math.min(readingTimeOf(own), ...(knowns === null ? [] : [readingTimeOf(knowns)]));
  const read: { readonly vial: Vial; readonly colour: VialColour | null }[] = [];
  const take = (
    { run, measurement }: MeasuredRun,
    picture: VialColour['picture'],
    wanted: (vial: Vial) => boolean,
  ): void => {
    for (const vial of run.vials.filter(wanted)) {
      const seen = colourOf(vial, run, measurement, readAtS, scales[picture === 'own' ? 0 : 1]);
      read.push({ vial, colour: seen === null ? null : { ...seen, picture } });
    }
  };
  take(own, 'own', ({ role }) => role === 'sample' || (knowns === null && isReference(role)));
  if (knowns !== null) take(knowns, 'other', ({ role }) => isReference(role));
  const vials = read.map(({ colour }) => colour).filter((colour) => colour !== null);
  if (!vials.some(({ role }) => role === 'known')) {
    throw new UserError({
      code: 'no-known',
      message: 'there is no known reference that can be read, so nothing to compare with',
      file: asShown((knowns ?? own).run),
      key: 'vials',
      expected: 'vials with role: known and identity: ...',
      hint: 'put references of known identity beside the samples, two vials of each',
    });
  }
  return {
    panel: matchPanel(vials, { alpha: own.run.alpha, dayError }),
    readAtS,
    unread: read.filter(({ colour }) => colour === null).map(({ vial }) => vial.region),
    vials,
  };
}

const isReference = (role: Vial['role']): boolean => role === 'known' || role === 'blank';

/** The declared reading time, or the longest time since dosing that all vials reach. */
function readingTimeOf({ run, measurement }: MeasuredRun): number {
  const times = measurement.frames.timeRunS;
  if (times.length === 1) return 0;
  const reach = times.at(-1)! - Math.max(...run.vials.map((vial) => vial.addedRunS ?? 0));
  return Math.max(0, Math.min(run.readAtS ?? reach, reach));
}

function colourOf(
  vial: Vial,
  { rig }: Run,
  measurement: Measurement,
  readAtS: number,
  scale: number,
): Omit<VialColour, 'picture'> | null {
  const region = measurement.vials.find(({ id }) => id === vial.region);
  const seen =
    region === undefined ? null : seenColours(measurement, region, { addedRunS: vial.addedRunS ?? 0, readAtS, scale });
  if (seen === null) return null;
  const role = vial.role === 'known' || vial.role === 'blank' ? vial.role : 'sample';
  const unit = role === 'blank' ? 'blank' : role === 'known' ? vial.identity! : (vial.group ?? vial.label);
  return { region: vial.region, label: vial.label, role, unit, place: placeOf(rig, vial.region), ...seen };
}

function placeOf(rig: Run['rig'], id: string): readonly [number, number] | null {
  const region = rig.regions.find((one) => one.id === id);
  if (region === undefined) return null;
  const { left, right, top, bottom } = boundingBox(region);
  const { width, height } = rig.frame;
  const half = Math.hypot(width, height) / 2;
  return [((left + right) / 2 - width / 2) / half, ((top + bottom) / 2 - height / 2) / half];
}
