import type { Rig } from '../model/region.ts';
import type { Finding } from './findings.ts';
import { nearest } from './nearest.ts';
import { sampleAmountFindings, uncertaintyFindings } from './amount-checks.ts';
import { neededKeys, roleKeys, type VialFile } from './schemas/vial.ts';

/** What is wrong in the list of vials beyond its shape. */
export function vialFindings(vials: readonly VialFile[], rig: Rig): Finding[] {
  return [
    ...vials.flatMap((vial, index) => regionFindings(vial, index, rig)),
    ...repeatedRegions(vials),
    ...vials.flatMap(roleFindings),
    ...vials.flatMap((vial, index) => [
      ...uncertaintyFindings(vial, ['vials', index]),
      ...sampleAmountFindings(vial, ['vials', index]),
    ]),
    ...groupFindings(vials),
  ];
}

function regionFindings({ region }: VialFile, index: number, rig: Rig): Finding[] {
  const ids = rig.regions.map(({ id }) => id);
  if (ids.includes(region)) return [];
  const isPatch = rig.white.some(({ id }) => id === region);
  const near = nearest(region, ids);
  return [
    {
      code: 'unknown-region',
      key: ['vials', index, 'region'],
      message: isPatch ? `"${region}" is a neutral patch of the rig, not a vial` : `the rig has no region "${region}"`,
      expected: ids.length > 12 ? `${ids.slice(0, 12).join(', ')}, …` : ids.join(', '),
      hint: near === null ? 'name a region of the rig' : `did you mean "${near}"?`,
    },
  ];
}

function repeatedRegions(vials: readonly VialFile[]): Finding[] {
  return vials.flatMap(({ region, label }, index) => {
    const before = vials.slice(0, index).find((vial) => vial.region === region);
    if (before === undefined) return [];
    return [
      {
        code: 'region-used-twice',
        key: ['vials', index, 'region'],
        message: `region "${region}" is used twice`,
        got: `"${before.label}" and "${label}"`,
        hint: 'give each vial its own region',
      },
    ];
  });
}

function roleFindings(vial: VialFile, index: number): Finding[] {
  const misplaced = (Object.keys(roleKeys) as (keyof typeof roleKeys)[])
    .filter((key) => vial[key] !== undefined && roleKeys[key] !== vial.role)
    .map((key) => ({
      code: 'key-of-other-role',
      key: ['vials', index, key],
      message: `"${key}" is only for role ${roleKeys[key]}`,
      got: `role ${vial.role}`,
      hint: `remove it, or change the role to ${roleKeys[key]}`,
    }));
  const needed = (neededKeys as Partial<Record<VialFile['role'], keyof typeof roleKeys>>)[vial.role];
  if (needed === undefined || vial[needed] !== undefined) return misplaced;
  return [
    ...misplaced,
    {
      code: 'missing-key',
      key: ['vials', index],
      message: `a ${vial.role} vial needs "${needed}"`,
      hint: `add ${needed}: to it`,
    },
  ];
}

function groupFindings(vials: readonly VialFile[]): Finding[] {
  return vials.flatMap(({ group, role, expect }, index) => {
    const before = group === undefined ? undefined : vials.slice(0, index).find((vial) => vial.group === group);
    if (before === undefined || (before.role === role && before.expect === expect)) return [];
    const what = before.role === role ? 'expect' : 'role';
    return [
      {
        code: 'group-disagrees',
        key: ['vials', index, 'group'],
        message: `vials of group "${group}" differ in ${what}`,
        expected: `${what} ${before[what] ?? 'left out'}, as in ${before.region}`,
        got: `${what} ${(what === 'role' ? role : expect) ?? 'left out'}`,
        hint: 'a group joins replicates of one sample: make them alike, or give another group',
      },
    ];
  });
}

/** Every vial is a sample: there is nothing to judge by, and no pin for the colour path. */
export function referenceFindings(vials: readonly VialFile[]): Finding[] {
  if (vials.some(({ role }) => role !== 'sample')) return [];
  return [
    {
      code: 'no-reference',
      key: ['vials'],
      message: 'there is no reference vial at all, only samples',
      expected: 'a blank, and negative and positive references, in the same frame',
      hint: 'mark the reference vials by role: blank | positive | negative | standard | mixture | known (samples alone will do only for "vialapse match" with --knowns)',
    },
  ];
}
