import { describe, expect, it } from 'vitest';
import { fitKinetics } from '../../src/kinetics/fit-kinetics.ts';
import type { KineticOptions } from '../../src/kinetics/kinetic-series.ts';
import { simulateSeries, truths } from './series.ts';

const options: KineticOptions = { falseAlarm: 0.002, pathDraws: null, readAtS: null };
const firstOrder = truths['first-order'];

describe('times', () => {
  it('half-time and onset of a first-order reaction', () => {
    const fit = fitKinetics(simulateSeries(firstOrder, 'times'), options);
    expect(Math.abs(fit.halfTimeS!.value / (1200 * Math.LN2) - 1)).toBeLessThan(0.03);
    expect(fit.onsetS!.value).toBeLessThan(120);
    expect(Math.abs(fit.initialRate!.value * 1200 - 1)).toBeLessThan(0.05);
  });
  it('the onset of a faint burst has an interval that holds where other runs detect it', () => {
    const found = Array.from(
      { length: 60 },
      (_, run) =>
        fitKinetics(
          simulateSeries((t) => 0.05 * (1 - Math.exp(-t / 2500)), `onset ${run}`),
          options,
        ).onsetS!,
    ).filter(({ censored }) => censored === 'none');
    expect(found.length).toBeGreaterThan(55);
    const times = found.map(({ value }) => value).sort((first, second) => first - second);
    const typical = times[times.length >> 1]!;
    const held = found.filter(({ ci95: [low, high] }) => low! < typical && (high === null || high > typical)).length;
    // 60 runs at 95 %: three standard errors are 8 %
    expect(held / found.length).toBeGreaterThan(0.87);
    const widths = found
      .map(({ ci95: [low, high] }) => (high ?? Infinity) - low!)
      .sort((first, second) => first - second);
    // nor is it as wide as the run: half of them know it within a factor of two or so
    expect(widths[widths.length >> 1]!).toBeLessThan(1.5 * typical);
  });
  it('half-time censored at both ends', () => {
    expect(fitKinetics(simulateSeries(truths['zero-order'], 'slow'), options).halfTimeS).toMatchObject({
      censored: 'right',
    });
    const quick = simulateSeries((t) => 1 - Math.exp(-t / 300), 'late', { firstS: 900 });
    expect(fitKinetics(quick, options).halfTimeS).toMatchObject({ censored: 'left', value: 900, ci95: [null, 900] });
  });
});

describe('what no frame saw', () => {
  const late = simulateSeries((t) => (t < 2000 ? 0 : 1 - Math.exp(-(t - 2000) / 600)), 'gap', { firstS: 0 });
  it('a change between dosing and the first frame is censored left at that frame, never at 0', () => {
    for (const firstS of [0, 300]) {
      const quick = simulateSeries((t) => 1 - Math.exp(-t / 300), 'first', { firstS });
      const { onsetS } = fitKinetics(quick, options);
      expect(onsetS).toMatchObject({ censored: 'left', ci95: [null, onsetS!.value] });
      expect(onsetS!.value).toBeCloseTo(firstS === 0 ? 7200 / 199 : 300, 6);
    }
  });
  it('a change inside a gap of frames lies anywhere in the gap', () => {
    const blind = {
      ...late,
      extent: late.extent.map((e, i) => (late.timeS[i]! > 1000 && late.timeS[i]! < 4000 ? null : e)),
    };
    const { onsetS, halfTimeS } = fitKinetics(blind, options);
    for (const time of [onsetS!, halfTimeS!]) {
      expect(time.censored).toBe('none');
      expect(time.ci95[0]!).toBeLessThan(1000);
      expect(time.ci95[1]!).toBeGreaterThan(4000);
    }
    const seen = fitKinetics(late, options).halfTimeS!;
    expect(seen.ci95[1]! - seen.ci95[0]!).toBeLessThan(200);
  });
});
