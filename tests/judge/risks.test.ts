import { describe, expect, it } from 'vitest';
import { boundsOf } from '../../src/judge/bounds.ts';
import { createFamilyCritical } from '../../src/judge/critical-values.ts';
import { difference } from '../../src/judge/difference.ts';
import { betweenVialSpread } from '../../src/judge/spread.ts';
import type { JudgedVial, Reading } from '../../src/judge/types.ts';
import { normalQuantile } from '../../src/numeric/normal.ts';
import { createRandom } from '../../src/numeric/random.ts';

/**
 * The two stated risks by seeded Monte Carlo on readings (vials differ by normal errors, frames by less): over all samples, a false `reacted`
 * in at most alpha of the runs; for each sample, a false `resisted` in at most alpha of the cases at D = margin.
 */
const alpha = 0.05;
const margin = 0.05;
const runs = 1000;
const critical = createFamilyCritical(alpha);
/** Two and a half standard errors of a share of 5 % in `runs` runs. */
const slack = 2.5 * Math.sqrt((alpha * (1 - alpha)) / runs);

interface World {
  readonly negatives: number;
  readonly samples: readonly { readonly replicates: number; readonly truth: number }[];
  readonly sd: number;
  /** Standard deviation of the reacting vials, where different. */
  readonly reactingSd?: number;
  readonly pathSize?: number;
}

function play(
  world: World,
  seed: string,
): { readonly falseReacted: number; readonly falseResisted: readonly number[] } {
  const random = createRandom(seed);
  const draws = 40;
  // The judge's draws are of the same size as the true error of the path, not the same numbers.
  const path = Array.from({ length: draws }, (_, k) => (world.pathSize ?? 0) * normalQuantile((k + 0.5) / draws));
  let falseReacted = 0;
  const falseResisted = world.samples.map(() => 0);
  for (let run = 0; run < runs; run += 1) {
    const truePath = (world.pathSize ?? 0) * random.normal();
    const read = (truth: number, sd: number): Reading => {
      const value = truth + sd * random.normal() + truePath * truth;
      return { timeS: 0, value, frameSe: sd / 10, vialSe: null, pathShift: path.map((size) => size * value) };
    };
    const negatives = Array.from({ length: world.negatives }, () => read(0, world.sd));
    const samples = world.samples.map(({ replicates, truth }) =>
      Array.from({ length: replicates }, () => read(truth, truth > margin ? (world.reactingSd ?? world.sd) : world.sd)),
    );
    const asVial = (atRead: Reading): JudgedVial => ({ atRead }) as unknown as JudgedVial;
    const { spread } = betweenVialSpread(
      negatives.map(asVial),
      samples.filter((group) => group.length > 1).map((group) => group.map(asVial)),
      margin,
      null,
    );
    const differences = samples.map((group) =>
      difference(group, negatives, {
        spread: spread!,
        knownDf: null,
        lightSe: 0,
        pathSeAtMargin: (world.pathSize ?? 0) * margin,
      }),
    );
    const bounds = boundsOf(differences, alpha, margin, critical);
    if (bounds.some((bound, i) => bound!.above && world.samples[i]!.truth <= margin)) falseReacted += 1;
    bounds.forEach((bound, i) => {
      if (bound!.upper < margin && world.samples[i]!.truth >= margin) falseResisted[i]! += 1;
    });
  }
  return { falseReacted: falseReacted / runs, falseResisted: falseResisted.map((count) => count / runs) };
}

const single = (truth: number): { replicates: number; truth: number } => ({ replicates: 1, truth });
const triple = (truth: number): { replicates: number; truth: number } => ({ replicates: 3, truth });

describe('the stated risks hold', () => {
  it.each([
    [
      'six singles, two negatives',
      { negatives: 2, samples: Array.from({ length: 6 }, () => single(margin)), sd: 0.01 },
    ],
    [
      'six singles, three negatives',
      { negatives: 3, samples: Array.from({ length: 6 }, () => single(margin)), sd: 0.01 },
    ],
    ['triplicates', { negatives: 3, samples: [triple(margin), triple(margin), triple(0)], sd: 0.01 }],
    [
      'beside reacting lots that scatter widely',
      {
        negatives: 3,
        samples: [single(margin), single(margin), triple(margin), triple(0.5), triple(0.8), single(0.9)],
        sd: 0.01,
        reactingSd: 0.08,
      },
    ],
    [
      'with an error of the path',
      { negatives: 3, samples: [single(margin), single(margin), single(margin)], sd: 0.005, pathSize: 0.15 },
    ],
  ] satisfies readonly (readonly [string, World])[])('%s', (name, world) => {
    const { falseReacted, falseResisted } = play(world, name);
    expect(falseReacted).toBeLessThanOrEqual(alpha + slack);
    for (const share of falseResisted) expect(share).toBeLessThanOrEqual(alpha + slack);
  });

  it('are not kept by deciding nothing: at D = margin a single is falsely cleared nearly as often as allowed', () => {
    const { falseReacted, falseResisted } = play({ negatives: 3, samples: [single(margin)], sd: 0.01 }, 'sharp');
    expect(falseReacted).toBeGreaterThan(alpha / 2);
    expect(falseResisted[0]).toBeGreaterThan(alpha / 2);
  });

  it('a burst 0.05 above the margin is found in nine of ten runs with four negatives and a spread of 0.01', () => {
    const random = createRandom('power');
    let found = 0;
    for (let run = 0; run < 1000; run += 1) {
      const read = (truth: number): Reading => ({
        timeS: 0,
        value: truth + 0.01 * random.normal(),
        frameSe: 0.001,
        vialSe: null,
        pathShift: [],
      });
      const negatives = Array.from({ length: 4 }, () => read(0));
      const spread = betweenVialSpread(
        negatives.map((atRead) => ({ atRead }) as unknown as JudgedVial),
        [],
        margin,
        null,
      ).spread!;
      const d = difference([read(0.1)], negatives, { spread, knownDf: null, lightSe: 0, pathSeAtMargin: 0 });
      if (boundsOf([d], alpha, margin, critical)[0]!.above) found += 1;
    }
    expect(found / 1000).toBeGreaterThan(0.9);
  });
});

describe('half-widths for resisted', () => {
  // The plan's own figures, in spreads between vials: t(0.95, n-1) sqrt(1 + 1/n) for 2, 3, 4 negatives.
  it.each([
    [2, 7.73],
    [3, 3.37],
    [4, 2.63],
  ])('%d negatives: %d spreads', (count, expected) => {
    const sd = 0.01;
    const read = (value: number): Reading => ({ timeS: 0, value, frameSe: 0, vialSe: null, pathShift: [] });
    const negatives = Array.from({ length: count }, () => read(0));
    const spread = { value: sd, df: count - 1, source: 'test' };
    const d = difference([read(0)], negatives, { spread, knownDf: null, lightSe: 0, pathSeAtMargin: 0 });
    const upper = boundsOf([d], 0.05, 0.05)[0]!.upper;
    expect(upper / sd).toBeCloseTo(expected, 1);
  });
});
