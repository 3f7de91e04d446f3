import { describe, expect, it } from 'vitest';
import { extentAt, type Kinetics } from '../../src/simulate/index.ts';

/** Integrates an ordinary differential equation by Runge-Kutta: a second way to the closed formulas. */
function integrate(slope: (state: readonly number[]) => readonly number[], start: readonly number[], timeS: number) {
  const steps = 4000;
  const h = timeS / steps;
  let state = start;
  const add = (from: readonly number[], by: readonly number[], times: number): readonly number[] =>
    from.map((value, index) => value + times * by[index]!);
  for (let step = 0; step < steps; step += 1) {
    const a = slope(state);
    const b = slope(add(state, a, h / 2));
    const c = slope(add(state, b, h / 2));
    const d = slope(add(state, c, h));
    state = state.map((value, index) => value + (h / 6) * (a[index]! + 2 * b[index]! + 2 * c[index]! + d[index]!));
  }
  return state;
}

describe('extent courses against their rate laws', () => {
  it('first order: dx/dt = k (A - x)', () => {
    const [x] = integrate(([at]) => [1e-3 * (0.8 - at!)], [0], 1500);
    expect(extentAt({ model: 'first-order', k: 1e-3, amplitude: 0.8, background: 0 }, 1500)).toBeCloseTo(x!, 9);
  });

  it.each([
    [6e-4, 8e-4],
    [5e-4, 5e-4],
    [1e-3, 1e-5],
  ])('consecutive A -> B -> C with k %f and %f', (k1, k2) => {
    const [, , c] = integrate(([a, b]) => [-k1 * a!, k1 * a! - k2 * b!, k2 * b!], [1, 0, 0], 2500);
    expect(extentAt({ model: 'consecutive', k1, k2, amplitude: 1 }, 2500)).toBeCloseTo(c!, 9);
  });

  it('second order: dx/dt = k (A - x)^2 / A', () => {
    const [x] = integrate(([at]) => [(2e-3 * (0.6 - at!) ** 2) / 0.6], [0], 900);
    expect(extentAt({ model: 'second-order', k: 2e-3, amplitude: 0.6 }, 900)).toBeCloseTo(x!, 9);
  });

  it('sigmoid: its slope is k (y)(1 - y) of the unshifted logistic, and it starts at 0', () => {
    const kinetics: Kinetics = { model: 'sigmoid', k: 2e-3, middleS: 3000, amplitude: 1 };
    expect(extentAt(kinetics, 1e-9)).toBeCloseTo(0, 9);
    const [y] = integrate(([at]) => [2e-3 * at! * (1 - at!)], [1 / (1 + Math.exp(6))], 3500);
    const start = 1 / (1 + Math.exp(6));
    expect(extentAt(kinetics, 3500)).toBeCloseTo((y! - start) / (1 - start), 9);
  });

  it('adds a background to a burst and never passes 1', () => {
    const kinetics: Kinetics = { model: 'burst-background', k: 1e-2, amplitude: 0.1, background: 1e-5 };
    expect(extentAt(kinetics, 5000)).toBeCloseTo(0.15, 6);
    expect(extentAt(kinetics, 1e7)).toBe(1);
  });

  it('is 0 before dosing and during induction; a constant is constant', () => {
    expect(extentAt({ model: 'zero-order', rate: 1e-3 }, -5)).toBe(0);
    expect(extentAt({ model: 'first-order-induction', k: 1, amplitude: 1, inductionS: 600 }, 599)).toBe(0);
    expect(extentAt({ model: 'constant', extent: 0.4 }, -5)).toBe(0.4);
  });

  it('a rate factor is a change of the clock', () => {
    const kinetics: Kinetics = { model: 'consecutive', k1: 6e-4, k2: 8e-4, amplitude: 0.9 };
    expect(extentAt(kinetics, 1000, 1.3)).toBeCloseTo(extentAt(kinetics, 1300), 12);
  });
});
