import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { firstOrder, firstOrderFit, syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticRack, SyntheticVial } from './synthetic.ts';

const still: SyntheticVial = { role: 'sample', expect: 'resists' };
const frames = (value: number | null): (number | null)[] => Array.from({ length: 121 }, () => value);
const usual: SyntheticRack = { vials: usualVials(3, [still]) };
const changed = (change: (vial: SyntheticVial) => SyntheticVial, samples = [still]): SyntheticRack => ({
  vials: usualVials(3, samples).map(change),
});
const onRole = (role: SyntheticVial['role'], changes: Partial<SyntheticVial>): SyntheticRack =>
  changed((vial) => (vial.role === role ? { ...vial, ...changes } : vial));
const onRegion = (region: string, changes: Partial<SyntheticVial>): SyntheticRack =>
  changed((vial) => (vial.region === region ? { ...vial, ...changes } : vial));
const note = (code: string, severity: 'warn' | 'fail' = 'warn') => ({
  notes: [{ code, severity, message: `Seen: ${code}.`, fromRunS: 100, toRunS: 200, region: null }],
});
const mixture = (course: (timeS: number) => number): SyntheticVial => ({
  region: 'M',
  role: 'mixture',
  extent: 0.5,
  course,
});

const chartReport = {
  ...{ applied: true, reason: null, used: 24, patches: 24, leftOut: [], curves: 'common' as const },
  ...{ illuminant: 'D50', illuminantStated: false },
  ...{ meanDeltaE: 0.9, maxDeltaE: 2.4, leftOutMeanDeltaE: 1.2, uncorrectedMeanDeltaE: 6 },
};

/** Each check on a rack that passes it and on racks that do not. */
const cases: readonly {
  readonly code: string;
  readonly good: SyntheticRack;
  readonly bad: readonly [rack: SyntheticRack, status: 'warn' | 'fail', message: RegExp][];
}[] = [
  {
    code: 'positives-turned',
    good: usual,
    bad: [
      [onRole('positive', { course: firstOrder(1e-5), fit: {} }), 'fail', /P1 and P2.*had not turned/],
      [onRegion('P1', { course: firstOrder(1e-5), fit: {} }), 'fail', /P1, which must react/],
      [{ vials: usual.vials.filter(({ role }) => role !== 'positive') }, 'warn', /No positive reference/],
    ],
  },
  {
    code: 'negatives-still',
    good: usual,
    bad: [
      [onRegion('N2', { offset: 0.12 }), 'fail', /N2, which must not react/],
      [{ vials: usualVials(0, [still]) }, 'warn', /No negative reference/],
    ],
  },
  {
    code: 'blank-still',
    good: usual,
    bad: [
      [onRole('blank', { course: (timeS) => 1.5e-5 * timeS }), 'fail', /drifted/],
      [{ vials: usual.vials.filter(({ role }) => role !== 'blank') }, 'warn', /No blank/],
    ],
  },
  {
    code: 'references-agree',
    good: usual,
    bad: [
      [onRegion('N2', { offset: -0.12 }), 'warn', /N2 stands apart/],
      [
        { vials: usualVials(5, [still]).map((vial) => (vial.region === 'N2' ? { ...vial, offset: 0.04 } : vial)) },
        'warn',
        /N2 stands apart from the other negative references by 0\.039 in extent .Grubbs/,
      ],
      [
        changed((vial) => (vial.role === 'positive' ? { ...vial, label: '1-butanol' } : vial)),
        'warn',
        /turned at different speeds/,
      ],
      [
        { ...usual, durationS: 3600 },
        'warn',
        /^Replicate references could not be compared\. Negatives \(N1, N2 and N3\): the run stopped before the reading time\./,
      ],
      [{ vials: usualVials(1, [still]) }, 'warn', /No reference has a second vial/],
    ],
  },
  {
    code: 'reading-time',
    good: usual,
    bad: [
      [{ ...usual, readAtS: null }, 'warn', /No reading time was declared/],
      [{ ...usual, durationS: 3600 }, 'warn', /stopped before/],
    ],
  },
  { code: 'between-vial-spread', good: usual, bad: [[{ vials: usualVials(1, [still]) }, 'warn', /one negative/]] },
  {
    code: 'path-pinned',
    good: usual,
    bad: [
      [{ ...usual, path: { pinnedEnd: false } }, 'warn', /relative/],
      [{ ...usual, path: { pinnedStart: false } }, 'warn', /beginning of the extent scale/],
    ],
  },
  {
    code: 'mixtures-constant',
    good: { vials: [...usual.vials, mixture(() => 0.5)] },
    bad: [[{ vials: [...usual.vials, mixture((timeS) => 0.5 + 1e-5 * timeS)] }, 'fail', /M: a mixture/]],
  },
  {
    code: 'ageing',
    good: usual,
    bad: [
      [onRole('positive', { look: { hueDeg: frames(0).map((_, i) => 150 + i * 0.3) } }), 'warn', /P1 and P2 moved on/],
    ],
  },
  {
    code: 'fast-part',
    good: usual,
    bad: [[onRegion('P2', { course: firstOrder(1 / 40), fit: firstOrderFit(1 / 40) }), 'warn', /P2.*A frame every/]],
  },
  {
    code: 'two-layers',
    good: usual,
    bad: [[onRegion('S1', { colours: { halvesDeltaE: frames(0.1) } }), 'warn', /S1: upper and lower/]],
  },
  {
    code: 'off-path',
    good: usual,
    bad: [
      [onRegion('S1', { flags: (frame) => (frame % 3 === 0 ? 'clipped off-path' : '') }), 'warn', /S1: colours off/],
    ],
  },
  {
    code: 'evaporation',
    good: onRegion('S1', { colours: { meniscusY: frames(110) } }),
    bad: [[onRegion('S1', { colours: { meniscusY: frames(0).map((_, i) => 110 + 0.1 * i) } }), 'warn', /S1 sank/]],
  },
  {
    code: 'light',
    good: usual,
    bad: [
      [
        { ...usual, light: { basis: 'none', driftRange: null, settings: 'locked' } },
        'warn',
        /could not be told from reaction/,
      ],
      [{ ...usual, light: { basis: 'none', driftRange: null } }, 'fail', /nothing shows that exposure .* locked/],
      [{ ...usual, light: { basis: 'none', driftRange: null, settings: 'automatic' } }, 'fail', /by itself/],
      [{ ...usual, light: { basis: 'background' } }, 'warn', /background of the picture, with a larger error/],
      [{ ...usual, measurement: note('patch-moved') }, 'warn', /patch-moved/],
      [{ ...usual, measurement: note('patch-clipped') }, 'warn', /patch-clipped/],
      [{ ...usual, measurement: note('patch-missing') }, 'warn', /patch-missing/],
      [{ ...usual, measurement: note('light-tone-mapping') }, 'warn', /tone-mapping/],
      [{ ...usual, measurement: note('daylight') }, 'warn', /followed on neutral patches.* Seen: daylight/],
      [{ ...usual, light: { driftRange: 0.4 } }, 'warn', /40 %/],
      [{ ...usual, measurement: note('patch-lost', 'fail') }, 'fail', /patch-lost/],
    ],
  },
  {
    code: 'chart',
    good: { ...usual, measurement: { chart: chartReport } },
    bad: [
      [
        { ...usual, measurement: { chart: { ...chartReport, leftOutMeanDeltaE: 5.2 } } },
        'warn',
        /5\.2 for patches left out/,
      ],
      [
        {
          ...usual,
          measurement: { chart: { ...chartReport, applied: false, reason: 'only 9 of 24 patches could be used' } },
        },
        'warn',
        /was not applied: only 9 of 24/,
      ],
      [
        {
          ...usual,
          measurement: {
            chart: {
              ...chartReport,
              used: 16,
              leftOut: Array.from({ length: 8 }, (_, index) => ({
                patch: `A${index + 1}`,
                reason: 'at the limit of a channel',
              })),
            },
          },
        },
        'warn',
        /Left out: A1, A2, A3, A4, A5, A6 and 2 more \(at the limit of a channel\)/,
      ],
    ],
  },
  {
    code: 'camera',
    good: usual,
    bad: [
      [
        { ...usual, measurement: { motion: { dx: frames(12), dy: frames(0), rotation: frames(0), scale: frames(1) } } },
        'warn',
        /12 pixels/,
      ],
      [{ ...usual, measurement: note('camera-jump') }, 'warn', /camera-jump/],
      [{ ...usual, measurement: note('rig-camera-shifted', 'fail') }, 'fail', /rig-camera-shifted/],
      [{ ...usual, measurement: note('rig-camera-not-recognised') }, 'warn', /not-recognised/],
    ],
  },
  {
    code: 'clipped',
    good: usual,
    bad: [[onRegion('S1', { colours: { redClipped: frames(0.9) } }), 'warn', /In S1 two colour channels/]],
  },
  {
    code: 'frames',
    good: usual,
    bad: [
      [
        {
          ...usual,
          measurement: {
            rejected: Array.from({ length: 20 }, (_, index) => ({ index, timeRunS: null, reason: 'dark' })),
          },
        },
        'warn',
        /20 frames/,
      ],
      [
        {
          ...usual,
          measurement: {
            frames: {
              index: frames(0).map((_, i) => i),
              timeRunS: frames(0).map((_, i) => i * 60 + (i > 50 ? 3600 : 0)),
            },
          },
        },
        'warn',
        /No frame for/,
      ],
    ],
  },
  {
    code: 'temperature',
    good: { ...usual, input: { temperature: { runS: [0, 7200], temperatureC: [21, 21.5] } } },
    bad: [[{ ...usual, input: { temperature: { runS: [0, 7200], temperatureC: [18, 26] } } }, 'warn', /18.0 to 26.0/]],
  },
  {
    code: 'margin',
    good: usual,
    bad: [[{ ...usual, margin: { unit: 'extent', value: 0.003 } }, 'warn', /cannot be met/]],
  },
  {
    code: 'replicates-agree',
    good: {
      vials: usualVials(
        5,
        [1, 2, 3].map((i) => ({ ...still, group: 'lot', offset: 0.001 * i })),
      ),
    },
    bad: [
      [
        {
          vials: usualVials(
            5,
            [0, 0.2, 0.4].map((offset) => ({ ...still, group: 'lot', offset })),
          ),
        },
        'warn',
        /differ/,
      ],
    ],
  },
];

describe.each(cases)('check $code', ({ code, good, bad }) => {
  it('passes a rack without the trouble', () => {
    const found = judgeRun(syntheticRack(good)).checks.filter((check) => check.code === code);
    expect(found.map(({ status }) => status)).toEqual(['pass']);
  });

  it.each(bad)('does not pass one with it (%#)', (rack, status, message) => {
    const found = judgeRun(syntheticRack(rack)).checks.filter((check) => check.code === code);
    expect(found.map((check) => check.status)).toEqual([status]);
    expect(found[0]!.message).toMatch(message);
  });
});
