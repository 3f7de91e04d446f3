import type { Outcome } from '../../src/model/result.ts';
import type { Role } from '../../src/model/run.ts';

/** One vial of the example with the course it takes: `size · (1 − e^(−k (t − lag))) + slope · t`. */
export interface ExampleVial {
  readonly region: string;
  readonly x: number;
  readonly y: number;
  readonly label: string;
  readonly role: Role;
  readonly group: string | null;
  readonly addedRunS: number;
  readonly size: number;
  readonly ratePerH: number;
  readonly lagS: number;
  readonly slopePerH: number;
  readonly shaken: boolean;
  readonly outcome: Outcome | null;
}

type Course = Partial<Pick<ExampleVial, 'size' | 'ratePerH' | 'lagS' | 'slopePerH' | 'shaken'>>;
type Entry = readonly [label: string, role: Role, group: string | null, outcome: Outcome | null, course: Course];

const references: readonly Entry[] = [
  ['reagent only', 'blank', null, null, { slopePerH: 0.001 }],
  ['1-butanol', 'positive', null, null, { size: 1, ratePerH: 1.9 }],
  ['2-butanol', 'positive', null, null, { size: 1, ratePerH: 1.15 }],
  ['known-clean tert-butanol', 'negative', null, null, { slopePerH: 0.004 }],
  ['known-clean tert-butanol', 'negative', null, null, { slopePerH: 0.006 }],
  ['spiked 0.5 mol % 2-butanol', 'standard', null, null, { size: 0.16, ratePerH: 1.6, slopePerH: 0.004 }],
];
const samples: readonly Entry[] = [
  ['recovered lot 07', 'sample', 'lot-07', 'reacted', { size: 0.34, ratePerH: 2.6, slopePerH: 0.01 }],
  ['recovered lot 07', 'sample', 'lot-07', 'reacted', { size: 0.37, ratePerH: 2.4, slopePerH: 0.01 }],
  ['recovered lot 08', 'sample', 'lot-08', 'resisted', { slopePerH: 0.005 }],
  ['recovered lot 08', 'sample', 'lot-08', 'resisted', { slopePerH: 0.007 }],
  ['recovered lot 09', 'sample', null, 'undecided', { slopePerH: 0.028, shaken: true }],
  ['recovered lot 10', 'sample', null, 'reacted', { size: 1, ratePerH: 1.1, lagS: 2400 }],
];

export function exampleVials(rows: number, labels: readonly string[], failed: boolean): readonly ExampleVial[] {
  const entries = [...references, ...Array.from({ length: rows - 1 }, () => samples).flat()];
  let renamed = 0;
  return entries.map(([label, role, group, outcome, course], index) => {
    const row = Math.floor(index / 6);
    const turned: Course = failed && role === 'negative' ? { size: 0.6, ratePerH: 0.8 } : {};
    return {
      region: `${'ABCDEFGH'[row]!}${(index % 6) + 1}`,
      x: 150 + (index % 6) * 180,
      y: rows <= 2 ? 130 + row * 310 : 60 + row * 165,
      label: role === 'sample' && renamed < labels.length ? labels[renamed++]! : label,
      role,
      group: group !== null && row > 1 ? `${group}-${row}` : group,
      addedRunS: 10 * index,
      size: 0,
      ratePerH: 1,
      lagS: 0,
      slopePerH: 0,
      shaken: false,
      outcome: failed && outcome !== null && outcome !== 'reacted' ? 'undecided' : outcome,
      ...course,
      ...turned,
    };
  });
}
