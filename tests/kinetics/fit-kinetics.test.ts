import { describe, expect, it } from 'vitest';
import { fitKinetics } from '../../src/kinetics/fit-kinetics.ts';
import type { KineticOptions } from '../../src/kinetics/kinetic-series.ts';
import { simulateSeries, truths } from './series.ts';

const options: KineticOptions = { falseAlarm: 0.002, pathDraws: null, readAtS: null };

describe('each model is found again from its own curve', () => {
  it.each(Object.entries(truths))('%s', (name, truth) => {
    const names = [1, 2, 3, 4, 5].map((seed) => fitKinetics(simulateSeries(truth, `${name} ${seed}`), options).model);
    expect(names.filter((found) => found === name).length).toBeGreaterThanOrEqual(4);
  });
});
