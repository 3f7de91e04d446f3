import { describe, expect, it } from 'vitest';
import { codesChanges } from '../../src/frames/index.ts';
import { coderHoldsBlocks, raiseErrors, withCodedChanges, withHeldBlocks } from '../../src/light/observed-error.ts';
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
});

describe('films whose pictures are coded as changes of earlier ones', () => {
  it('leave small regions wrong by up to a step or so, large ones by less, red and blue more than green', () => {
    const quiet = columns('V8', 'vial', frames, () => [0.7, 0.37, 0.2], 0);
    // One 8-bit step of red about 0.7 linear (sRGB, IEC 61966-2-1): 0.6964 to 0.7036.
    const step = 0.7036 - 0.6964;
    expect(withCodedChanges(quiet, 1000).redSe[0]).toBeCloseTo(1.3 * step, 3);
    expect(withCodedChanges(quiet, 4000).redSe[0]).toBeCloseTo(0.65 * step, 3);
    expect(withCodedChanges(quiet, 100)).toEqual(withCodedChanges(quiet, 1000));
    const { redSe, greenSe } = withCodedChanges(quiet, 1000);
    expect(greenSe[0]!).toBeLessThan(redSe[0]!);
  });

  it('are films of H.264 and the like, not pictures one by one', () => {
    expect(codesChanges({ kind: 'video', codec: 'h264' })).toBe(true);
    expect(codesChanges({ kind: 'video', codec: 'hevc' })).toBe(true);
    expect(codesChanges({ kind: 'video', codec: 'mjpeg' })).toBe(false);
    expect(codesChanges({ kind: 'video', codec: 'prores' })).toBe(false);
    expect(codesChanges({ kind: 'stills', codec: 'jpeg' })).toBe(false);
  });
});
