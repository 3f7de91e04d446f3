import { describe, expect, it } from 'vitest';
import { decodeTransfer, encodeSrgb, tabulateTransfer } from '../../src/colour/transfer.ts';
import type { TransferName } from '../../src/colour/transfer.ts';

const names: readonly TransferName[] = ['srgb', 'bt709', 'linear', 'hlg', 'pq'];

describe('decodeTransfer', () => {
  it('breaks where IEC 61966-2-1 says (decode 0.04045, encode 0.0031308)', () => {
    const decode = decodeTransfer('srgb');
    expect(decode(0.04045)).toBeCloseTo(0.04045 / 12.92, 12);
    expect(decode(0.0405)).toBeCloseTo(((0.0405 + 0.055) / 1.055) ** 2.4, 12);
    expect(decode(0.5)).toBeCloseTo(0.21404114, 7);
    expect(encodeSrgb(0.0031308)).toBeCloseTo(0.04045, 5);
  });

  it('gives 0 and 1 at the ends for every curve', () => {
    for (const name of names) {
      expect(decodeTransfer(name)(0), name).toBeCloseTo(0, 6);
      expect(decodeTransfer(name)(1), name).toBeCloseTo(1, 6);
    }
  });

  it('is continuous at the breaks of BT.709 and HLG', () => {
    expect(decodeTransfer('bt709')(0.081) - decodeTransfer('bt709')(0.0809999)).toBeLessThan(1e-4);
    expect(decodeTransfer('hlg')(0.5000001) - decodeTransfer('hlg')(0.5)).toBeLessThan(1e-6);
  });

  it('is odd below 0 and goes on above 1', () => {
    for (const name of names) {
      const decode = decodeTransfer(name);
      expect(decode(-0.1), name).toBe(-decode(0.1));
    }
    expect(decodeTransfer('srgb')(1.1)).toBeGreaterThan(1.2);
  });

  it('is undone by encodeSrgb', () => {
    for (let value = -0.2; value <= 1.2; value += 0.01)
      expect(encodeSrgb(decodeTransfer('srgb')(value))).toBeCloseTo(value, 6);
  });
});

describe('tabulateTransfer', () => {
  it('follows the curve within 2e-6 (at the break of BT.709, which jumps a little, 2e-5) on and off the grid, and outside it', () => {
    for (const name of ['srgb', 'bt709', 'linear'] as const) {
      const exact = decodeTransfer(name);
      const quick = tabulateTransfer(name);
      for (let value = -0.4; value < 1.5; value += 0.000917) {
        expect(Math.abs(quick(value) - exact(value)), `${name} ${value}`).toBeLessThan(name === 'bt709' ? 2e-5 : 2e-6);
      }
    }
  });
});
