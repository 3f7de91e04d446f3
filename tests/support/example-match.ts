import type { Result, ResultColourPair, ResultMatch } from '../../src/model/result.ts';
import { exampleAnalysis } from './example-analysis.ts';

type Lab = readonly [number, number, number];

const pairOf = (
  first: string,
  second: string,
  value: number,
  verdict: ResultColourPair['verdict'],
): ResultColourPair => ({
  ...{ first, second, verdict, stretch: 1.04, clipped: [] },
  reason:
    verdict === 'agrees'
      ? `final colours ${value} apart, within the margin of 0.8, and so are the colours on the way`
      : verdict === 'differs'
        ? `final colours are ${value} apart, more than the noise of like vials explains`
        : 'too few like vials to tell',
  final: { value, p_differs: 0.2, p_agrees: 0.04, margin: 0.84 },
  history: { value: 0.9 * value, p_differs: 0.3, p_agrees: 0.02, margin: 0.74 },
  history_unstretched: value,
});

/** A match of three samples with four knowns, every verdict among them; `names` take the place of samples and knowns. All invented. */
export async function exampleMatch(names: readonly string[] = []): Promise<Result> {
  const { result } = await exampleAnalysis({ frames: 9 });
  const named = (at: number, plain: string): string => names[at] ?? plain;
  const knowns: readonly (readonly [string, Lab])[] = [
    [named(3, 'compound 1'), [39, -38, 25]],
    [named(4, 'compound 2'), [38, 36, 24]],
    [named(5, 'compound 3'), [37, 36, 24]],
    [named(6, 'compound 4'), [29, 32, -31]],
  ];
  const samples: readonly (readonly [string, Lab])[] = [
    [named(0, 'lot X'), [39, -37, 25]],
    [named(1, 'lot Y'), [38, 35, 24]],
    [named(2, 'lot Z'), [37, -12, -11]],
  ];
  const [one, two, three, four] = knowns.map(([name]) => name) as [string, string, string, string];
  const [x, y, z] = samples.map(([name]) => name) as [string, string, string];
  const unit = (
    [name, lab]: readonly [string, Lab],
    role: 'known' | 'sample',
    at: number,
  ): ResultMatch['units'][0] => ({
    ...{ name, role, lab, regions: [`A${at + 1}`, `B${at + 1}`], history: null },
  });
  const rest = { not_ruled_out: [], reason: `It differs from ${one} and others.` };
  const match: ResultMatch = {
    claim: 'Agreement is of colour only, under this light and camera: it does not identify a substance.',
    ...{ alpha: 0.05, knowns_from: null },
    views: (['final', 'history'] as const).map((view) => ({
      ...{ view, like_vials: 0.4, margin: 0.8, df: 9.1, directions: 1.4, day_error: 0 },
      source: 'scatter of replicate vials',
    })),
    units: [
      ...knowns.map((known, at) => unit(known, 'known', at)),
      ...samples.map((one, at) => unit(one, 'sample', at + 4)),
    ],
    samples: [
      {
        ...{ name: x, answer: 'agrees with one', agrees_with: [one], ...rest },
        against: [pairOf(x, one, 0.4, 'agrees'), pairOf(x, two, 52, 'differs')],
      },
      {
        ...{ name: y, answer: 'agrees with several', agrees_with: [two, three], ...rest },
        against: [pairOf(y, two, 0.3, 'agrees'), pairOf(y, three, 0.3, 'agrees'), pairOf(y, four, 30, 'differs')],
      },
      {
        ...{ name: z, answer: 'cannot tell', agrees_with: [], ...rest },
        against: [pairOf(z, four, 1.2, 'cannot tell'), pairOf(z, one, 26, 'differs')],
      },
    ],
    panel: [
      ...[pairOf(one, two, 52, 'differs'), pairOf(one, three, 52, 'differs'), pairOf(one, four, 44, 'differs')],
      ...[pairOf(two, three, 0.3, 'agrees'), pairOf(two, four, 30, 'differs'), pairOf(three, four, 1, 'cannot tell')],
    ],
  };
  return { ...result, samples: [], references: [], reading_window: null, match };
}
