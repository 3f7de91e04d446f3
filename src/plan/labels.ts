import type { Bench } from './bench.ts';
import type { PlannedVial, PlanWarning } from './plan.ts';

/** Whether what a vial holds is only told by the key. */
export const isHidden = (bench: Pick<Bench, 'blind'>, { role }: Pick<PlannedVial, 'role'>): boolean =>
  bench.blind === true && role === 'sample';

/** A sample's code: that of its first vial in the rack; also the code to be written on its bottle. */
export const groupCode = (vials: readonly PlannedVial[], group: string): string =>
  vials.find((vial) => vial.group === group)!.code;

/** The vials with what the bench sheet calls them: for a hidden one the bottle to take from. */
export const withShownNames = (bench: Pick<Bench, 'blind'>, vials: readonly PlannedVial[]): readonly PlannedVial[] =>
  vials.map((vial) => (isHidden(bench, vial) ? { ...vial, shown: `bottle ${groupCode(vials, vial.group!)}` } : vial));

/** What may stand on a sheet: in a blind plan nothing that tells one sample from another. */
export function sheetWarningsOf(bench: Bench, warnings: readonly PlanWarning[]): readonly string[] {
  if (bench.blind !== true) return warnings.map(({ message }) => message);
  const samples = new Set(bench.materials.filter(({ role }) => role === 'sample').map(({ name }) => name));
  const said = warnings.flatMap(({ code, message, about, said: rest }) => {
    const others = about.filter((name) => !samples.has(name));
    if (others.length === about.length) return [message];
    if (code === 'no-replicate') return [`Samples without a replicate: ${rest}`];
    return others.length === 0 ? [] : [`${others.join(', ')}: ${rest}`];
  });
  const kept = warnings.some(({ code, about }) => code !== 'no-replicate' && about.some((name) => samples.has(name)));
  return kept ? [...said, 'Warnings about single samples are in the key: ask its keeper before dosing.'] : said;
}
