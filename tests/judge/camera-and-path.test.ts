import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import type { MeasurementNote } from '../../src/model/measurement.ts';
import type { ColourPath } from '../../src/model/extent.ts';
import { syntheticRack, usualVials } from './synthetic.ts';
import type { SyntheticRack } from './synthetic.ts';

const usual: SyntheticRack = { vials: usualVials(3, [{ role: 'sample', expect: 'resists' }]) };
const everyFrame = (value: number | null): (number | null)[] => Array.from({ length: 121 }, () => value);
const note = (code: string, message: string, more: Partial<MeasurementNote> = {}): MeasurementNote => ({
  ...{ code, severity: 'info', message, fromRunS: null, toRunS: null, region: null },
  ...more,
});

describe('the check of the camera', () => {
  const checked = (dx: number | null, ...notes: readonly MeasurementNote[]) => {
    const still = { dy: everyFrame(dx === null ? null : 0), rotation: everyFrame(0), scale: everyFrame(1) };
    const measurement = { motion: { dx: everyFrame(0).map((_, i) => (i === 60 ? dx : dx && 0)), ...still }, notes };
    const [found] = judgeRun(syntheticRack({ ...usual, measurement })).checks.filter(({ code }) => code === 'camera');
    return [found!.status, found!.message];
  };

  it('says how far the picture moved, and warns from 8 pixels on, the largest nudge that is followed without loss', () => {
    expect(checked(0.49)).toEqual(['pass', 'The camera did not move.']);
    expect(checked(-0.5)).toEqual(['pass', 'The picture moved by up to 0.5 pixels; the regions followed.']);
    expect(checked(8)[0]).toBe('pass');
    expect(checked(-8.1)).toEqual(['warn', 'The picture moved by up to 8.1 pixels; the regions followed.']);
    expect(checked(null)).toEqual(['warn', 'Movement of the camera could not be followed.']);
  });

  it('tells when it could not be followed, and claims stillness only for the rest', () => {
    const lost = (fromRunS: number, toRunS: number) =>
      note('camera-lost', 'the camera could not be followed.', { severity: 'warn', fromRunS, toRunS });
    expect(checked(0, lost(600, 1200))).toEqual([
      'warn',
      'The camera did not move while it could be followed. From 10 min to 20 min of the run’s clock the camera could not be followed.',
    ]);
    expect(checked(0, lost(600, 600))[1]).toContain('At 10 min of the run’s clock the camera could not be followed.');
  });

  it('names jumps with their times, four at most, and what else was noted', () => {
    const jump = (toRunS: number, severity: 'info' | 'warn' = 'info') =>
      note('camera-moved', 'The camera or the rack moved by 3.0 px (3.0 right, 0.0 down); the regions followed.', {
        ...{ severity, fromRunS: toRunS - 60, toRunS },
      });
    const jumps = [600, 1200, 1800, 2400, 3000, 3600].map((at) => jump(at));
    expect(checked(3, ...jumps.slice(0, 1))[1]).toMatch(/It jumped: 3\.0 px at 10 min of the run’s clock\.$/);
    expect(checked(3, ...jumps.slice(0, 4))[1]).toMatch(/at 30 min and 3\.0 px at 40 min of the run’s clock\.$/);
    expect(checked(3, ...jumps)[1]).toMatch(/3\.0 px at 40 min and 2 more of the run’s clock\.$/);
    expect(checked(3, jump(600, 'warn'))[1]).toMatch(/the regions followed \(at 10 min of the run’s clock\)\.$/);
    expect(checked(0, note('rig-camera-shifted', 'Shifted.'), note('focus-breathing', 'Breathed.'))).toEqual([
      'pass',
      'The camera did not move. Shifted. Breathed.',
    ]);
    expect(checked(0, note('camera-crept', 'Crept.'))[1]).toBe('The camera did not move.');
  });
});

describe('the check of the colour path', () => {
  const notes = (...all: readonly [code: string, severity: 'info' | 'warn' | 'fail'][]): Partial<ColourPath> => ({
    notes: all.map(([code, severity]) => ({ code, severity, message: `Path: ${code}.` })),
  });
  const pathChecks = (path: Partial<ColourPath>) =>
    judgeRun(syntheticRack({ ...usual, path })).checks.filter(
      ({ code, message }) => code === 'path-pinned' || message.startsWith('Path:'),
    );

  it('is one sentence, with the typical error where it is known', () => {
    expect(pathChecks({ extentError: 0.015 })).toEqual([
      {
        code: 'path-pinned',
        status: 'pass',
        message: 'Both ends of the extent scale are pinned; typical error 0.015 in extent.',
      },
    ]);
    expect(pathChecks({ extentError: null })[0]!.message).toBe('Both ends of the extent scale are pinned.');
  });

  it('passes on what the path noted by its severity, but no information and no missing pin twice', () => {
    const told = notes(['few-colours', 'warn'], ['no-path', 'fail'], ['saved-path', 'info'], ['no-start-pin', 'warn']);
    const found = pathChecks({ ...told, pinnedStart: false });
    expect(found.map(({ code, status }) => [code, status])).toEqual([
      ['path-pinned', 'warn'],
      ['few-colours', 'warn'],
      ['no-path', 'fail'],
    ]);
    expect(pathChecks(notes(['no-end-pin', 'warn']))).toHaveLength(1);
  });
});
