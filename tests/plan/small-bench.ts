import type { Bench, Material } from '../../src/plan/bench.ts';

const lot = { substance: 'tert-butanol', drops: 2, dropMg: 15.6 } as const;
export const lots = (count: number, vials = 1): readonly Material[] =>
  Array.from({ length: count }, (_, index) => ({ ...lot, name: `lot ${index + 1}`, role: 'sample', vials }));

/** Blank, three negatives, two positives, six lots; small pictures. */
export const smallBench: Bench = {
  name: 'small',
  reagent: { salt: 'K2Cr2O7', saltG: 0.1, waterMl: 10, acidMl: 1, acidPercent: 96 },
  reagentMl: 0.5,
  temperatureC: 30,
  hours: 6,
  level: { molPercent: 2, impurity: '2-butanol' },
  rack: { rows: 2, columns: 6 },
  seed: 5,
  materials: [
    { name: 'reagent only', role: 'blank', substance: 'water', sampleMl: 0.04 },
    { ...lot, name: 'known clean', role: 'negative', vials: 3 },
    { name: '1-butanol', role: 'positive', substance: '1-butanol', drops: 2, dropMg: 16 },
    { name: '2-butanol', role: 'positive', substance: '2-butanol', drops: 2, dropMg: 16 },
    ...lots(6),
  ],
};
