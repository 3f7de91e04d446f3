import type { Random } from '../../src/numeric/random.ts';
import type { VialInput } from '../../src/simulate/index.ts';

/** Sound racks, and racks with something amiss that the analysis must notice. */
export type RackKind =
  | 'usual'
  | 'mixtures'
  | 'standards'
  | 'one negative'
  | 'dead positives'
  | 'turning negatives'
  | 'no plateau'
  | 'at the margin';

/** Reading time of every rack, s since dosing: four hours. */
export const readAtS = 14_400;
export const margin = 0.05;
export const alpha = 0.05;
/** Extent that a mol % of the spiked impurity uses up in a rack of standards. Chosen. */
export const standardSlope = 0.15;
/** Spikes of a rack of standards, mol %. Chosen. */
export const spikes = [0.3, 0.6, 1, 1.5, 2] as const;

/** Twelve runs in turn; half are usual racks, a sixth has mixtures. Chosen. */
export const turns: readonly RackKind[] = [
  'usual',
  'mixtures',
  'usual',
  'one negative',
  'usual',
  'dead positives',
  'usual',
  'mixtures',
  'turning negatives',
  'usual',
  'standards',
  'no plateau',
];

export const rackKindOf = (index: number): RackKind => turns[index % turns.length]!;

/**
 * A rack of the main job: blank, two positives, three negatives, six samples (clean, trace, dirty, wrong, delayed, inert).
 * The trace's burst is 0.05 to 0.25; time constants lie between minutes and hours. All ranges are chosen.
 */
export function drawRack(kind: RackKind, random: Random): readonly VialInput[] {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const firstOrder = (low: number, high: number): VialInput['kinetics'] => ({
    model: 'first-order',
    k: 1 / between(low, high),
  });
  const slow = { model: 'zero-order', rate: between(1e-7, 5e-7) } as const;
  const negative = kind === 'turning negatives' ? firstOrder(15_000, 40_000) : slow;
  const positives: readonly VialInput['kinetics'][] =
    kind === 'dead positives'
      ? [slow, { model: 'none' }]
      : kind === 'no plateau'
        ? [firstOrder(12_000, 15_000), firstOrder(14_000, 18_000)]
        : [firstOrder(1000, 2000), firstOrder(2000, 3500)];
  const burst = (low: number, high: number): VialInput['kinetics'] => ({
    model: 'burst-background',
    k: 1 / between(900, 2500),
    amplitude: between(low, high),
    background: slow.rate,
  });
  // where both risks are largest: four samples within 0.02 of the margin
  const near = (otherwise: () => VialInput['kinetics']): VialInput['kinetics'] =>
    kind === 'at the margin' ? burst(margin - 0.02, margin + 0.02) : otherwise();
  return [
    { label: 'reagent only', role: 'blank', kinetics: { model: 'none' } },
    ...positives.map((kinetics): VialInput => ({ label: 'positive', role: 'positive', kinetics })),
    ...Array.from({ length: kind === 'one negative' ? 1 : 3 }, (): VialInput => ({
      label: 'negative',
      role: 'negative',
      kinetics: negative,
    })),
    { label: 'clean', role: 'sample', kinetics: near(() => slow) },
    { label: 'trace', role: 'sample', kinetics: near(() => burst(0.05, 0.25)) },
    { label: 'dirty', role: 'sample', kinetics: near(() => burst(0.45, 0.75)) },
    {
      label: 'wrong',
      role: 'sample',
      kinetics: kind === 'no plateau' ? firstOrder(12_000, 18_000) : firstOrder(1500, 3500),
    },
    {
      label: 'delayed',
      role: 'sample',
      kinetics: { model: 'first-order-induction', k: 1 / between(4000, 7000), inductionS: between(2000, 5000) },
    },
    { label: 'inert', role: 'sample', kinetics: near(() => ({ model: 'none' })) },
    ...(kind === 'mixtures'
      ? [0.25, 0.5, 0.75].map((extent): VialInput => ({
          label: `mixture ${extent}`,
          role: 'mixture',
          kinetics: { model: 'constant', extent },
        }))
      : []),
    ...(kind === 'standards'
      ? spikes.map((level): VialInput => ({
          label: `spiked ${level}`,
          role: 'standard',
          kinetics: burst(level * standardSlope, level * standardSlope),
          levelMolPercent: level,
        }))
      : []),
  ];
}
