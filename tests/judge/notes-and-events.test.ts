import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { forbidsRate } from '../../src/judge/vial-flags.ts';
import { syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticRack } from './synthetic.ts';

const usual: SyntheticRack = { vials: usualVials(3, [{ role: 'sample', expect: 'resists' }]) };
const strange = {
  code: 'strange',
  severity: 'warn',
  message: 'Seen: strange.',
  fromRunS: 100,
  toRunS: 200,
  region: null,
} as const;

describe('notes and events', () => {
  it('rack-wide events and notes of no known matter become checks of their own', () => {
    const events = [{ atRunS: 1000, what: 'lamp moved', region: null }];
    const { checks } = judgeRun(syntheticRack({ ...usual, events, measurement: { notes: [strange] } }));
    expect(checks).toContainEqual(expect.objectContaining({ code: 'events', status: 'warn' }));
    expect(checks).toContainEqual({ code: 'strange', status: 'warn', message: 'Seen: strange.' });
    expect(judgeRun(syntheticRack(usual)).checks.some((check) => check.code === 'events')).toBe(false);
  });

  it('what was doubtful about the source becomes a check, what was assumed of it an assumption', () => {
    const plain = syntheticRack(usual);
    const said = (severity: 'info' | 'warn') => ({ code: `of-${severity}`, severity, message: `Said: ${severity}.` });
    const source = { ...plain.measurement.source, notes: [said('info'), said('warn')] };
    const { checks, assumptions } = judgeRun({ ...plain, measurement: { ...plain.measurement, source } });
    expect(checks).toContainEqual({ code: 'of-warn', status: 'warn', message: 'Said: warn.' });
    expect(checks.some(({ code }) => code === 'of-info')).toBe(false);
    expect(assumptions).toContain('Said: info.');
    expect(assumptions).not.toContain('Said: warn.');
  });

  it('flags a shaken, a redosed and a two-layered vial in words', () => {
    const events = [
      { atRunS: 1000, what: 'shaken', region: 'N1' },
      { atRunS: 2000, what: 'redosed', region: 'N2' },
    ];
    const halvesDeltaE = Array.from({ length: 121 }, () => 0.1);
    const rack = {
      vials: usual.vials.map((vial) => (vial.region === 'S1' ? { ...vial, colours: { halvesDeltaE } } : vial)),
    };
    const { vialFlags, atRead } = judgeRun(syntheticRack({ ...rack, events }));
    expect(vialFlags[3]).toContainEqual(expect.objectContaining({ code: 'shaken', from_run_s: 1000, to_run_s: 1180 }));
    expect(vialFlags[4]!.map(({ code }) => code)).toEqual(['ended', 'redosed']);
    expect(atRead[4]).toBeNull();
    expect(forbidsRate(vialFlags[6]!)).toBe(true);
    expect(forbidsRate(vialFlags[3]!)).toBe(false);
  });

  it('counts the outlying frames that had no say in a curve', () => {
    const vials = usual.vials.map((vial) =>
      vial.region === 'P1' ? { ...vial, fit: { ...vial.fit, outliers: [10, 12] } } : vial,
    );
    const { vialFlags } = judgeRun(syntheticRack({ vials }));
    expect(vialFlags[1]).toContainEqual(
      expect.objectContaining({ code: 'outlying-frames', from_run_s: 600, to_run_s: 720 }),
    );
    expect(vialFlags[1]!.find(({ code }) => code === 'outlying-frames')!.message).toMatch(
      /^2 frames of 121 lie outside/,
    );
    expect(vialFlags[2]!.some(({ code }) => code === 'outlying-frames')).toBe(false);
  });
});
