import { describe, expect, it } from 'vitest';
import { raiseErrors } from '../../src/light/observed-error.ts';
import { columns, frames, reacting } from './runs.ts';

describe('raiseErrors', () => {
  it('raises errors stated three times too small to what the frames show, within a quarter', () => {
    const shown = columns('V1', 'vial', frames, () => [0.5, 0.2, 0.05], 0.003);
    const stated = { ...shown, redSe: shown.redSe.map((value) => value! / 3) };
    expect(raiseErrors(stated).redSe[10]! / 0.0015).toBeGreaterThan(0.75);
    expect(raiseErrors(stated).redSe[10]! / 0.0015).toBeLessThan(1.25);
  });

  it('lowers none, and takes no reaction for noise', () => {
    const vial = columns('V2', 'vial', frames, reacting(0.05), 0.001);
    const large = { ...vial, greenSe: vial.greenSe.map((value) => value! * 5) };
    expect(raiseErrors(large).greenSe).toEqual(large.greenSe);
    expect(raiseErrors(vial).greenSe[3]! / vial.greenSe[3]!).toBeLessThan(1.4);
  });

  it('leaves a region without readings alone', () => {
    const unread = columns('V3', 'vial', 5, () => null);
    expect(raiseErrors(unread)).toEqual(unread);
  });
});
