import type { ChartRun, ChartVial } from '../chart-data.ts';
import { isolate } from '../isolate.ts';

/** A vial and the run it belongs to: several are set against each other when runs are compared. */
export interface PanelVial {
  readonly run: ChartRun;
  /** Position of the run among those drawn, from 0. */
  readonly runNumber: number;
  readonly vial: ChartVial;
}

/** References first, as they are the yardstick, in the order of the rack; then the samples, replicates side by side. */
export function byRole(vials: readonly ChartVial[]): readonly ChartVial[] {
  const samples = vials.filter(({ result }) => result.role === 'sample');
  const place = ({ sample }: ChartVial): number => samples.findIndex((other) => other.sample === sample);
  return [
    ...vials.filter(({ result }) => result.role !== 'sample'),
    ...[...samples].sort((first, second) => place(first) - place(second)),
  ];
}

/** Vials of all runs, those of one role and label side by side, so that references stand aligned. */
export function alignedVials(runs: readonly ChartRun[]): readonly PanelVial[] {
  return alignedGroups(runs).flat();
}

/** Vials of one role and label over all runs; of a single run every vial stands alone. */
export function alignedGroups(runs: readonly ChartRun[]): readonly (readonly PanelVial[])[] {
  const members = runs.flatMap((run, runNumber) => byRole(run.vials).map((vial) => ({ run, runNumber, vial })));
  const groups = new Map<string, PanelVial[]>();
  for (const wanted of [false, true]) {
    for (const member of members) {
      const { region, role, label } = member.vial.result;
      if ((role === 'sample') !== wanted) continue;
      const key = runs.length === 1 ? region : JSON.stringify([role, label]);
      groups.set(key, [...(groups.get(key) ?? []), member]);
    }
  }
  return [...groups.values()];
}

export function namesOf(runs: readonly ChartRun[]): string {
  return runs.map(({ result }) => isolate(result.run.name)).join(', ');
}
