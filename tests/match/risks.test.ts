import { describe, expect, it } from 'vitest';
import { ciede2000 } from '../../src/colour/index.ts';
import { matchPanel } from '../../src/match/match-panel.ts';
import { invertMonotone } from '../../src/numeric/invert-monotone.ts';
import { logGamma } from '../../src/numeric/log-gamma.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';
import { drawWorld, panelColours, type Liquid, type PanelWorld } from './modelled-panel.ts';

const alpha = 0.05;

/** One-sided 95 % upper bound of a share (C. J. Clopper, E. S. Pearson, Biometrika 26:404, 1934). */
function upperBound(count: number, of: number): number {
  const atMost = (p: number): number => {
    let sum = 0;
    for (let k = 0; k <= count; k += 1) {
      const choose = logGamma(of + 1) - logGamma(k + 1) - logGamma(of - k + 1);
      sum += Math.exp(choose + k * Math.log(p) + (of - k) * Math.log1p(-p));
    }
    return sum;
  };
  return invertMonotone((p) => 0.05 - atMost(p), 1e-9, 1 - 1e-9);
}

type Rgb = Liquid['rgb'];
const draw = (random: Random): Rgb => [0, 1, 2].map(() => 0.02 + 0.85 * random.uniform() ** 2) as unknown as Rgb;

/** Root-mean-square distance of two vials of this liquid anywhere in the rack: the noise of like vials. */
function noiseOf(rgb: Rgb, world: PanelWorld, vials: number, seed: string): number {
  const rack = panelColours([{ role: 'known', unit: 'A', rgb, vials }], world, seed);
  let squares = 0;
  let pairs = 0;
  rack.forEach((one, index) => {
    for (const other of rack.slice(index + 1)) {
      squares += ciede2000(one.final, other.final) ** 2;
      pairs += 1;
    }
  });
  return Math.sqrt(squares / pairs);
}

const still = { vignetting: 0, tilt: 0, blotches: 0, glass: 0, depth: 0, reading: 0, beside: true } as const;

/** A colour twice the noise away in a direction of its own; `null` where there is none. */
function stranger(rgb: Rgb, world: PanelWorld, distance: number, random: Random): Rgb | null {
  const direction = [random.normal(), random.normal(), random.normal()];
  const moved = (step: number): Rgb =>
    rgb.map((value, at) => Math.min(0.95, Math.max(0.005, value * Math.exp(step * direction[at]!)))) as unknown as Rgb;
  const colour = (of: Rgb) =>
    panelColours([{ role: 'known', unit: 'A', rgb: of, vials: 1 }], { ...world, ...still }, 'x')[0]!.final;
  const start = colour(rgb);
  const far = (step: number): number => ciede2000(start, colour(moved(step)));
  for (let step = 0.005; step < 1; step *= 1.03) if (far(step) >= distance) return moved(step);
  return null;
}

interface Tally {
  panels: number;
  falseDifference: number;
  falseAgreement: number;
  agreed: number;
  told: number;
}

/** Panels of all kinds: three to eight knowns, two to four vials of each; a sample that is the first known and one twice the noise away. */
function study(count: number, seed: string, replicates: readonly number[]): Tally {
  const tally: Tally = { panels: 0, falseDifference: 0, falseAgreement: 0, agreed: 0, told: 0 };
  const random = createRandom(seed);
  const pick = (from: readonly number[]): number => from[random.integer(from.length)]!;
  while (tally.panels < count) {
    const run = `${seed}/${random.integer(1e9)}`;
    const world = drawWorld(random);
    const vials = pick(replicates);
    const colours = Array.from({ length: 3 + random.integer(6) }, () => draw(random));
    const [first] = colours;
    const of = pick([1, 1, 2, 3]);
    const total = colours.length * vials + 2 * of;
    const away = stranger(first!, world, 2 * noiseOf(first!, world, total, `${run}/noise`), random);
    if (away === null) continue;
    const liquids: Liquid[] = [
      ...colours.map((rgb, index): Liquid => ({ role: 'known', unit: `k${index}`, rgb, vials })),
      { role: 'sample', unit: 'like', rgb: first!, vials: of },
      { role: 'sample', unit: 'stranger', rgb: away, vials: of },
    ];
    const mixed = liquids.map((liquid) => ({ liquid, at: random.uniform() })).sort((a, b) => a.at - b.at);
    const { samples } = matchPanel(
      panelColours(
        mixed.map(({ liquid }) => liquid),
        world,
        run,
      ),
      { alpha, dayError: 0 },
    );
    const verdict = (unit: string): string =>
      samples.find((sample) => sample.unit === unit)!.against.find(({ second }) => second === 'k0')!.verdict;
    tally.panels += 1;
    if (verdict('like') === 'differs') tally.falseDifference += 1;
    if (verdict('like') === 'agrees') tally.agreed += 1;
    if (verdict('stranger') === 'agrees') tally.falseAgreement += 1;
    if (verdict('stranger') === 'differs') tally.told += 1;
  }
  return tally;
}

describe('risks over modelled panels of other colours, lamps and racks', () => {
  it('both stay below 5 %, the binomial upper bound too, and most answers are answers', { timeout: 120_000 }, () => {
    const tally = study(500, 'panels', [2, 3, 4]);
    expect(upperBound(tally.falseDifference, tally.panels)).toBeLessThan(alpha);
    expect(upperBound(tally.falseAgreement, tally.panels)).toBeLessThan(alpha);
    expect(tally.agreed / tally.panels).toBeGreaterThan(0.4);
    expect(tally.told / tally.panels).toBeGreaterThan(0.6);
  });

  it('one vial of every known: nothing agrees, little differs falsely', { timeout: 60_000 }, () => {
    const tally = study(260, 'single', [1]);
    expect(upperBound(tally.falseDifference, tally.panels)).toBeLessThan(alpha);
    expect(tally.falseAgreement).toBe(0);
  });

  it('the bound itself: 0 of 59 and 5 of 100 (tabulated 5.0 % and 10.2 %)', () => {
    expect(upperBound(0, 59)).toBeCloseTo(0.0495, 4);
    expect(upperBound(5, 100)).toBeCloseTo(0.1023, 4);
  });
});
