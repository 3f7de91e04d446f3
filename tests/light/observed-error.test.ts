import { describe, expect, it } from 'vitest';
import { coderHoldsBlocks, raiseErrors, withHeldBlocks } from '../../src/light/observed-error.ts';
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

describe('films whose coder holds blocks', () => {
  /** The last colour is repeated until the next refresh, every 12 frames: what a coarse H.264 film does (measured on modelled ones). */
  const held = columns('V4', 'vial', frames, (at) => [0.7 + 0.001 * Math.floor(at / 12), 0.37, 0], 0);

  it('are told from noisy pictures by their repeated colours', () => {
    expect(coderHoldsBlocks([held, columns('V5', 'vial', frames, () => [0.7, 0.37, 0], 0)])).toBe(true);
    expect(coderHoldsBlocks([columns('V6', 'vial', frames, reacting(0.01), 0.001)])).toBe(false);
    expect(coderHoldsBlocks([])).toBe(false);
  });

  it('get at least 0.4 of an 8-bit step as their error, in linear light', () => {
    // sRGB (IEC 61966-2-1): 0.7 linear is 0.8543 encoded; half an 8-bit step to either side are 0.6964 and 0.7036 of linear light.
    const raised = withHeldBlocks(held);
    expect(raised.redSe[0]).toBeCloseTo(0.4 * (0.7036 - 0.6964), 4);
    const noisy = columns('V7', 'vial', frames, () => [0.7, 0.37, 0.01], 0.02);
    expect(withHeldBlocks(noisy).redSe).toEqual(noisy.redSe);
  });

  it('get a tenth of a quick change as well, in the frames on both sides of it', () => {
    const quick = columns('V8', 'vial', 9, (at) => [at < 4 ? 0.7 : 0.5, 0.37, 0], 0);
    const raised = withHeldBlocks(quick);
    // The held block alone: 0.4 of a step, at 0.7 and at 0.5 of linear light.
    const still = [raised.redSe[0]!, raised.redSe[8]!];
    expect(raised.redSe[3]).toBeCloseTo(Math.hypot(still[0]!, 0.02), 6);
    expect(raised.redSe[4]).toBeCloseTo(Math.hypot(still[1]!, 0.02), 6);
    expect(raised.redSe[5]).toBe(still[1]);
    expect(raised.greenSe[3]).toBe(raised.greenSe[0]);
  });
});
