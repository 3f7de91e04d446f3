import type { Fit } from '../../src/model/fit.ts';
import type { Result, ResultSample, ResultVial } from '../../src/model/result.ts';
import { exampleLightness } from './example-colours.ts';
import { exampleCurve } from './example-fits.ts';
import type { ExampleVial } from './example-vials.ts';

const readAtS = 7200;
const margin = 0.05;

export function exampleResult(
  vials: readonly ExampleVial[],
  fits: readonly Fit[],
  durationS: number,
  frames: number,
  failed: boolean,
): Result {
  return {
    schema: 'vialapse/result@1',
    made: {
      version: '0.1.0',
      at: '2026-03-02T08:15:00Z',
      inputs: [
        { path: 'lots.yaml', sha256: '3b1f6c09d2a47e5588c0e1f2a9b4d7c6e3f0a1b2c3d4e5f60718293a4b5c6d7e' },
        { path: '../rig.json', sha256: '9c4e2a1b7d8f60514233f4e5d6c7b8a90a1b2c3d4e5f60718293a4b5c6d7e8f9' },
        { path: 'overnight.mp4', sha256: 'e7d6c5b4a39281706f5e4d3c2b1a09f8e7d6c5b4a39281706f5e4d3c2b1a09f8' },
      ],
      decoder: 'ffmpeg 4.2 (h264, 8 bit, BT.709 limited range)',
    },
    run: {
      name: 'lots 07 to 10',
      reaction: 'acid-dichromate',
      duration_s: durationS,
      read_at_s: readAtS,
      read_at_declared: true,
      alpha: 0.05,
      margin,
      glance: false,
      assumptions: ['Transfer of the film taken as sRGB (the default, whatever its tag).'],
      record: { operator: '', reagent_lot: 'R-26-031', reagent_made: '2026-03-01', notes: 'rack at 23 °C' },
      frames: {
        read: frames + 2,
        used: frames,
        rejected: [
          { index: 88, reason: 'a hand covers the rack' },
          { index: 89, reason: 'a hand covers the rack' },
        ],
      },
      path: {
        pins: ['extent 0: A1 (blank), A4, A5 (negative)', 'extent 1: A2, A3 (positive) from 3 h 10 min'],
        source: 'fitted',
        residual: 0.006,
        extent_error: 0.015,
      },
      between_vial_sd: { value: 0.009, df: 3, source: 'replicates of this run' },
    },
    vials: vials.map((vial, index) => resultVial(vial, fits[index]!, durationS)),
    samples: resultSamples(vials),
    references: vials
      .filter((vial) => vial.role !== 'sample')
      .map((vial) => ({
        region: vial.region,
        role: vial.role,
        as_expected: vial.role === 'standard' ? null : !(failed && vial.role === 'negative'),
        reason:
          failed && vial.role === 'negative'
            ? 'extent 0.48 at 2 h 00 min: a negative reference has turned'
            : vial.role === 'positive'
              ? 'half-time reached, plateau seen'
              : 'stays with the blank',
      })),
    reading_window: failed ? null : { from_s: 2300, to_s: 14400, exploratory: true },
    checks: [
      {
        code: 'positives-react',
        status: 'pass',
        message: 'Both positive references passed extent 0.5 before the reading time.',
      },
      failed
        ? {
            code: 'negatives-resist',
            status: 'fail',
            message: 'Negative references A4, A5 have turned: nothing can be called resisting in this run.',
          }
        : {
            code: 'negatives-resist',
            status: 'pass',
            message: 'Both negative references stay within the margin of the blank.',
          },
      { code: 'path-residual', status: 'pass', message: 'Colours stay within 0.006 OKLab of the colour path.' },
      {
        code: 'lamp-step',
        status: 'warn',
        message: 'The light stepped by 3 % at 1 h 30 min; corrected by the neutral patch.',
      },
    ],
  };
}

function resultVial(vial: ExampleVial, fit: Fit, durationS: number): ResultVial {
  const at = (timeS: number) => {
    const value = exampleCurve(vial, timeS);
    return { value, se: 0.013, ci95: [value - 0.026, value + 0.026] as const };
  };
  const first = exampleLightness(0).hueDeg;
  const last = exampleLightness(exampleCurve(vial, durationS)).hueDeg;
  return {
    region: vial.region,
    label: vial.label,
    role: vial.role,
    group: vial.group,
    added_run_s: vial.addedRunS,
    hue: { first_deg: first, last_deg: last, span_deg: last - first },
    extent: { at_read: at(readAtS), last: at(durationS) },
    onset_s: fit.onsetS,
    fit: {
      model: fit.model,
      reason: fit.reason,
      rate_constant: fit.rateConstant,
      amplitude: fit.amplitude,
      induction_s: fit.inductionS,
      background_rate: fit.backgroundRate,
      initial_rate: fit.initialRate,
      half_time_s: fit.halfTimeS,
      residual_sd: fit.residualSd,
      aicc: fit.aicc,
      candidates: fit.candidates,
    },
    flags: vial.shaken
      ? [{ code: 'disturbed', message: 'shaken: frames left out of the fit', from_run_s: 9000, to_run_s: 9400 }]
      : [],
  };
}

function resultSamples(vials: readonly ExampleVial[]): readonly ResultSample[] {
  const groups = new Map<string, ExampleVial[]>();
  for (const vial of vials) {
    if (vial.role !== 'sample') continue;
    const key = vial.group ?? vial.region;
    groups.set(key, [...(groups.get(key) ?? []), vial]);
  }
  return [...groups.values()].map((members) => {
    const first = members[0]!;
    const value = members.reduce((sum, vial) => sum + exampleCurve(vial, readAtS), 0) / members.length - 0.01;
    const se = members.length > 1 ? 0.009 : 0.014;
    const outcome = first.outcome!;
    const reacted = outcome === 'reacted';
    return {
      group: first.group,
      label: first.label,
      regions: members.map((vial) => vial.region),
      expect: 'resists',
      outcome,
      as_expected: outcome === 'undecided' ? null : !reacted,
      reason: {
        reacted: 'the lower bound of the difference is above the margin',
        resisted: 'the upper bound of the difference is below the margin',
        undecided:
          'the bounds lie on both sides of the margin: one vial is too few at this scatter; repeat with two more',
      }[outcome],
      extent_difference: { value, se, ci95: [value - 2.4 * se, value + 2.4 * se] },
      bound: { side: reacted ? 'lower' : 'upper', value: reacted ? value - 2.7 * se : value + 2.1 * se, alpha: 0.05 },
      within_margin: outcome === 'undecided' ? null : !reacted,
      against: ['1-butanol', '2-butanol'].map((reference, index) => {
        const ratio = (first.size * first.ratePerH + first.slopePerH) / (index === 0 ? 1.9 : 1.15);
        const open = first.size === 0;
        return {
          reference,
          rate_ratio: {
            value: ratio,
            se: 0.08 * ratio,
            ci95: [open ? null : 0.85 * ratio, 1.17 * ratio + 0.004],
            bounded: !open,
          },
          half_time_ratio:
            first.size > 0.9
              ? { value: 3.4 + index, se: 0.2, ci95: [3 + index, 3.9 + index], bounded: true }
              : { value: 11 - 4 * index, se: null, ci95: [11 - 4 * index, null], bounded: false },
        };
      }),
      level: {
        value: reacted ? 1.1 : null,
        ci95: reacted ? [0.9, 1.4] : [null, 0.15],
        limit: 0.15,
        as: 'mol % as 2-butanol',
        electrons: null,
        basis: 'standards',
        only_more_than: reacted && first.size > 0.9,
      },
    };
  });
}
