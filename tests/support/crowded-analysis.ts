import type { Analysis } from '../../src/model/analysis.ts';
import type { ResultCheck, ResultLevel, ResultSample } from '../../src/model/result.ts';
import { exampleAnalysis } from './example-analysis.ts';

/** Passed checks as a run makes them, at their usual length. */
const passed: readonly (readonly [code: string, message: string])[] = [
  ['positives-turned', 'All positive references (A2, A3, A4 and A5) had turned by 3 h 20 min after dosing.'],
  [
    'negatives-still',
    'All negative references stayed within the margin 0.050 of the blank (largest difference 0.009).',
  ],
  ['blank-still', 'The blank stayed within the margin 0.050 of its beginning.'],
  ['references-agree', 'Replicate references agree with each other.'],
  ['reading-time', 'The reading time of 2 h was declared beforehand.'],
  [
    'between-vial-spread',
    'Vials that stand still differ by 0.005 in extent (standard deviation, 2 degrees of freedom, from 3 negative references).',
  ],
  ['path-pinned', 'Both ends of the extent scale are pinned; typical error 0.020 in extent.'],
  ['neighbour-effect', 'Still vials near one that turned did not rise more than those far from it.'],
  ['fast-part', 'Every change was seen in enough frames.'],
  ['two-layers', 'No vial shows two liquid layers at the reading time.'],
  ['off-path', 'All vials keep to the colours of the reaction.'],
  ['evaporation', 'No meniscus was in view, so evaporation was not looked for.'],
  ['vial-moved', 'No vial looks moved or turned by itself.'],
  ['camera', 'The camera did not move.'],
  ['clipped', 'In no vial are two colour channels at their limits.'],
  ['frames', 'All 241 frames were used.'],
];
const doubtful: readonly ResultCheck[] = [
  {
    ...{ code: 'light', status: 'warn' },
    message:
      'The light stepped by 3 % at 1 h 30 min; corrected by the neutral patch, with a larger error from then on.',
  },
  {
    ...{ code: 'ageing', status: 'warn' },
    message:
      'The end colour of A5 moved on after it had turned (chromium(III) ages): the scale was pinned at the beginning of the plateau.',
  },
  {
    ...{ code: 'margin', status: 'warn' },
    message: 'The margin 0.050 cannot be met for 2 of 18 samples: their errors alone come to 0.062.',
  },
];
const references = ['A2', 'A3', 'A4', 'A5'];

/** 24 vials at their fullest: 18 samples of one vial, each against four references and with a level, and 19 checks. */
export async function crowdedAnalysis(): Promise<Analysis> {
  const analysis = await exampleAnalysis({ rows: 4 });
  const { result } = analysis;
  const samples = result.vials.flatMap(({ region, label, role }): readonly ResultSample[] => {
    const like = result.samples.find(({ regions }) => regions.includes(region));
    if (role !== 'sample' || like === undefined) return [];
    const [pair] = like.against;
    return [
      {
        ...like,
        ...{ group: null, label: `${label}, ${region}`, regions: [region] },
        against: references.map((reference) => ({ ...pair!, reference })),
        level: levelOf(like),
      },
    ];
  });
  const checks = [...doubtful, ...passed.map(([code, message]): ResultCheck => ({ code, status: 'pass', message }))];
  return { ...analysis, result: { ...result, samples, checks } };
}

function levelOf({ outcome }: ResultSample): ResultLevel {
  const reacted = outcome === 'reacted';
  return {
    ...{ value: reacted ? 35_000 : null, ci95: reacted ? [26_000, 44_000] : [null, 5300], limit: 5300 },
    as: 'micro-equivalents per mol of sample (apparent); as 1-butanol (4 electrons) 0.87 mol %, as 2-butanol (2 electrons) 1.7 mol %',
    ...{ electrons: [4, 2], basis: 'electrons', only_more_than: false },
  };
}
