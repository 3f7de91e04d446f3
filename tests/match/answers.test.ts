import { describe, expect, it } from 'vitest';
import type { Lab } from '../../src/colour/index.ts';
import { matchPanel } from '../../src/match/match-panel.ts';
import type { VialColour } from '../../src/match/types.ts';

/** Invented colours, well apart. */
const colours: Readonly<Record<string, Lab>> = { A: [55, 20, 35], B: [45, -30, 20], C: [40, 35, -30], D: [65, 5, 55] };
const options = { alpha: 0.05, dayError: 0 };

function vial(
  role: 'known' | 'sample',
  unit: string,
  index: number,
  final: Lab,
  more: Partial<VialColour> = {},
): VialColour {
  const fixed = { label: unit, place: null, picture: 'own', history: null, readingError: 0, clipped: [] } as const;
  return { region: `${unit}${index}`, role, unit, final, ...fixed, ...more };
}

/** Three vials each of four knowns; `as` gives a known the colour of another. */
const knowns = (as: Readonly<Record<string, string>> = {}, more: Partial<VialColour> = {}): readonly VialColour[] =>
  Object.keys(colours).flatMap((unit) =>
    [-0.3, 0, 0.3].map((shift, index) => {
      const [l, a, b] = colours[as[unit] ?? unit]!;
      return vial('known', unit, index, [l + shift, a, b - shift], more);
    }),
  );

const lotsOf = (lab: Lab): readonly VialColour[] =>
  [0.1, -0.1].map((shift, index) => vial('sample', 's', index, [lab[0] + shift, lab[1], lab[2]]));

describe('answers', () => {
  it('agrees with one, and says what it differs from', () => {
    const [answer] = matchPanel([...knowns(), ...lotsOf(colours['A']!)], options).samples;
    expect(answer).toMatchObject({ answer: 'agrees with one', agreesWith: ['A'], reason: 'It differs from 3 others.' });
  });

  it('agrees with two knowns that the panel cannot tell apart', () => {
    const { samples, panel } = matchPanel([...knowns({ B: 'A' }), ...lotsOf(colours['A']!)], options);
    expect(samples[0]).toMatchObject({ answer: 'agrees with several', agreesWith: ['A', 'B'] });
    expect(samples[0]!.reason).toContain('both, which this test cannot tell apart');
    expect(panel.find(({ first, second }) => first === 'A' && second === 'B')!.verdict).not.toBe('differs');
    expect(panel.filter(({ verdict }) => verdict === 'differs')).toHaveLength(5);
  });

  it('is like none', () => {
    const [answer] = matchPanel([...knowns(), ...lotsOf([80, -40, -10])], options).samples;
    expect(answer).toMatchObject({ answer: 'like none', reason: 'It differs from all 4 references of this panel.' });
  });

  it('cannot tell what lies between, and names what would decide', () => {
    const [l, a, b] = colours['A']!;
    const [answer] = matchPanel([...knowns(), vial('sample', 's', 0, [l + 0.9, a, b])], options).samples;
    expect(answer).toMatchObject({ answer: 'cannot tell', notRuledOut: ['A'] });
    expect(answer!.reason).toContain('more vials of the sample');
  });

  it('never agrees without replicates, but tells far colours apart', () => {
    const vials = [
      vial('known', 'A', 0, colours['A']!),
      vial('known', 'B', 0, colours['B']!),
      vial('sample', 's', 0, colours['A']!),
    ];
    const [answer] = matchPanel(vials, options).samples;
    expect(answer!.answer).toBe('cannot tell');
    expect(answer!.against.map(({ verdict }) => verdict)).toEqual(['cannot tell', 'differs']);
  });

  it('says of an agreement which channel was cut off in both', () => {
    const cut = { clipped: ['red'] };
    const vials = [...knowns({}, cut), ...lotsOf(colours['A']!).map((one) => ({ ...one, ...cut }))];
    const [answer] = matchPanel(vials, options).samples;
    expect(answer!.against[0]!.reason).toContain('red was cut off in both and is not compared');
  });

  it('counts the error of a day between two pictures: agreement needs more, and the margin is wider', () => {
    const [l, a, b] = colours['A']!;
    const lots = lotsOf([l + 4, a, b]);
    const same = matchPanel([...knowns(), ...lots], options).samples[0]!.against;
    const days = matchPanel([...knowns({}, { picture: 'other' }), ...lots], { alpha: 0.05, dayError: 5 }).samples[0]!;
    expect(same[0]!.verdict).toBe('differs');
    expect(days.against[0]!.verdict).not.toBe('differs');
    expect(days.against[0]!.final.margin).toBeGreaterThan(10);
    expect(days.against[2]!.verdict).toBe('differs');
  });
});

describe('the light over the picture', () => {
  const place = (index: number): readonly [number, number] => [-0.8 + 0.4 * (index % 5), index < 5 ? -0.3 : 0.3];
  const dimmed = ([l, a, b]: Lab, [x, y]: readonly [number, number]): Lab => {
    const factor = (1 - 0.2 * (x * x + y * y)) ** (1 / 3);
    return [(l + 16) * factor - 16, a * factor, b * factor];
  };

  it('is learnt from replicates in different places and taken out', () => {
    const vials = Array.from({ length: 10 }, (_, index) => {
      const unit = ['A', 'B'][index % 2]!;
      return vial('known', unit, index, dimmed(colours[unit]!, place(index)), { place: place(index) });
    });
    const { units } = matchPanel(vials, options);
    const raw = vials.filter(({ unit }) => unit === 'A').map(({ final }) => final[0]);
    const even = units[0]!.vials.map(({ final }) => final[0]);
    const range = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);
    expect(range(raw)).toBeGreaterThan(2);
    expect(range(even)).toBeLessThan(0.1 * range(raw));
  });
});
