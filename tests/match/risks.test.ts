import { describe, expect, it } from 'vitest';
import type { Lab } from '../../src/colour/index.ts';
import { matchPanel } from '../../src/match/match-panel.ts';
import type { VialColour } from '../../src/match/types.ts';
import { createRandom } from '../../src/numeric/random.ts';

/** Invented colours, well apart; E is the margin-edge case and set by each test. */
const colours: Readonly<Record<string, Lab>> = { A: [55, 20, 35], B: [45, -30, 20], C: [40, 35, -30], D: [65, 5, 55] };

type Noise = (random: ReturnType<typeof createRandom>) => readonly [number, number, number];
const even: Noise = (random) => [random.normal(), random.normal(), random.normal()];
/** Mostly brightness, as of a dimmer place in the rack. */
const uneven: Noise = (random) => [1.6 * random.normal(), 0.3 * random.normal(), 0.3 * random.normal()];

function vial(role: 'known' | 'sample', unit: string, index: number, final: Lab): VialColour {
  return {
    region: `${unit}${index}`,
    label: unit,
    role,
    unit,
    place: null,
    picture: 'own',
    final,
    history: null,
    readingError: 0,
    clipped: [],
  };
}

function runs(count: number, sampleColour: Lab, replicates: number, noise: Noise, size: number) {
  const random = createRandom(`${replicates}/${size}/${sampleColour.join()}`);
  const near = ([l, a, b]: Lab): Lab => {
    const [dl, da, db] = noise(random);
    return [l + size * dl, a + size * da, b + size * db];
  };
  return Array.from({ length: count }, () => {
    const knowns = Object.entries(colours).flatMap(([unit, colour]) =>
      Array.from({ length: 3 }, (_, index) => vial('known', unit, index, near(colour))),
    );
    const samples = Array.from({ length: replicates }, (_, index) => vial('sample', 'x', index, near(sampleColour)));
    return matchPanel([...knowns, ...samples], { alpha: 0.05, dayError: 0 }).samples[0]!;
  });
}

const share = <T>(items: readonly T[], test: (item: T) => boolean): number => items.filter(test).length / items.length;
/** 5 % of 300 runs, and three standard errors of a count above it. */
const most = 0.05 + 3 * Math.sqrt((0.05 * 0.95) / 300);

describe('risks over simulated panels', () => {
  for (const [name, noise] of [
    ['even noise', even],
    ['noise along one direction', uneven],
  ] as const) {
    for (const size of [1.5, 3]) {
      it(`a sample that is a known is seldom said to differ from it: ${name}, size ${size}`, () => {
        const answers = runs(300, colours['A']!, 2, noise, size);
        expect(
          share(answers, ({ against }) => against.some((one) => one.second === 'A' && one.verdict === 'differs')),
        ).toBeLessThan(most);
        expect(share(answers, ({ agreesWith }) => agreesWith.some((known) => known !== 'A'))).toBe(0);
        // Two vials against three: most often enough to say that they agree.
        expect(share(answers, ({ answer }) => answer === 'agrees with one')).toBeGreaterThan(0.6);
      });

      it(`a stranger twice the noise away seldom agrees: ${name}, size ${size}`, () => {
        const [l, a, b] = colours['A']!;
        // Along lightness, where the noise is largest; SL of CIEDE2000 at L about 60 turns a difference into CIEDE2000.
        const rms = size * Math.sqrt(noise === even ? 3 : 1.6 ** 2 + 2 * 0.3 ** 2) * Math.SQRT2;
        const answers = runs(300, [l + 2.4 * rms, a, b], 1, noise, size);
        expect(share(answers, ({ agreesWith }) => agreesWith.includes('A'))).toBeLessThan(most);
      });
    }
  }
});

describe('answers', () => {
  it('names two knowns that the panel cannot tell apart, and like none', () => {
    const knowns = ['A', 'B', 'C', 'D'].flatMap((unit) =>
      [-0.3, 0, 0.3].map((shift, index) => {
        const [l, a, b] = colours[unit === 'B' ? 'A' : unit]!;
        return vial('known', unit, index, [l + shift, a, b - shift]);
      }),
    );
    const both = matchPanel([...knowns, vial('sample', 's', 0, colours['A']!)], {
      alpha: 0.05,
      dayError: 0,
    });
    expect(both.samples[0]).toMatchObject({ answer: 'agrees with several', agreesWith: ['A', 'B'] });
    expect(both.panel.find(({ first, second }) => first === 'A' && second === 'B')!.verdict).toBe('agrees');
    const none = matchPanel([...knowns, vial('sample', 's', 0, [80, -40, -10])], {
      alpha: 0.05,
      dayError: 0,
    });
    expect(none.samples[0]!.answer).toBe('like none');
  });

  it('never agrees without replicates, but tells far colours apart', () => {
    const vials = [
      vial('known', 'A', 0, colours['A']!),
      vial('known', 'B', 0, colours['B']!),
      vial('sample', 's', 0, colours['A']!),
    ];
    const [answer] = matchPanel(vials, { alpha: 0.05, dayError: 0 }).samples;
    expect(answer!.answer).toBe('cannot tell');
    expect(answer!.against.map(({ verdict }) => verdict)).toEqual(['cannot tell', 'differs']);
  });
});
