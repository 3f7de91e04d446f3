import type { Expectation } from '../model/run.ts';
import type { JudgedVial } from './types.ts';

/** Vials that stand for one sample: replicates of a group, or a vial alone. */
export interface SampleGroup {
  readonly group: string | null;
  readonly label: string;
  readonly expect: Expectation | null;
  readonly members: readonly JudgedVial[];
}

/** Samples in the order in which their first vial stands in the run file. */
export function sampleGroups(vials: readonly JudgedVial[]): readonly SampleGroup[] {
  const groups = new Map<string, JudgedVial[]>();
  for (const judged of vials) {
    if (judged.vial.role !== 'sample') continue;
    const key = judged.vial.group === null ? `vial ${judged.vial.region}` : `group ${judged.vial.group}`;
    groups.set(key, [...(groups.get(key) ?? []), judged]);
  }
  return [...groups.values()].map((members) => {
    const first = members[0]!.vial;
    const labels = new Set(members.map(({ vial }) => vial.label));
    const wishes = new Set(members.flatMap(({ vial }) => (vial.expect === null ? [] : [vial.expect])));
    return {
      group: first.group,
      label: labels.size === 1 ? first.label : (first.group ?? first.label),
      expect: wishes.size === 1 ? [...wishes][0]! : null,
      members,
    };
  });
}

export function withRole(vials: readonly JudgedVial[], role: JudgedVial['vial']['role']): readonly JudgedVial[] {
  return vials.filter(({ vial }) => vial.role === role);
}
