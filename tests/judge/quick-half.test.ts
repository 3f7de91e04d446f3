import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { resultSchema } from '../../src/files/schemas/result.ts';
import type { Analysis } from '../../src/model/analysis.ts';
import type { RunEvent } from '../../src/model/run.ts';
import { ratesColumns, ratesCsv } from '../../src/report/rates-csv.ts';
import { filmedRack, judged } from './quick-half.ts';

const filmed = filmedRack();
const withEvents = (...events: readonly RunEvent[]) => ({ ...filmed, run: { ...filmed.run, events } });
const vialOf = ({ result }: Analysis, region: string) => result.vials.find((vial) => vial.region === region)!;
const sampleOf = ({ result }: Analysis, region: string) =>
  result.samples.find(({ regions }) => regions.includes(region))!;
const checkOf = ({ result }: Analysis, code: string) => result.checks.find((check) => check.code === code)!;

let usual: Analysis;
let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(path.join(os.tmpdir(), 'vialapse-quick-half-'));
  usual = await judged(filmed);
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe('a usual rack, measurement to result', () => {
  it('is judged, and its result keeps to the schema', () => {
    expect(resultSchema.safeParse(usual.result).success).toBe(true);
    expect(sampleOf(usual, 'V7').outcome).toBe('resisted');
    expect(sampleOf(usual, 'V8').outcome).toBe('reacted');
    expect(vialOf(usual, 'V8').fit).toMatchObject({ model: 'first-order', at_reference_temperature: null });
  });

  it('no rate or half-time stands there with an error of nothing', () => {
    const ratios = usual.result.samples.flatMap(({ against }) =>
      against.flatMap((one) => [one.rate_ratio, one.half_time_ratio]),
    );
    const rates = usual.result.vials.flatMap(({ fit }) => [fit.rate_constant, fit.initial_rate, fit.half_time_s]);
    for (const estimate of [...ratios, ...rates]) {
      expect(estimate?.se === 0).toBe(false);
      expect(estimate !== null && estimate.ci95[0] !== null && estimate.ci95[0] === estimate.ci95[1]).toBe(false);
    }
    expect(ratios.filter((ratio) => ratio !== null).length).toBeGreaterThan(0);
  });
});

describe('two liquid layers', () => {
  it('have no rate and no outcome, from the measurement to rates.csv', async () => {
    const vials = filmed.measurement.vials.map((vial) =>
      vial.id === 'V8'
        ? { ...vial, halvesDeltaE: vial.red.map(() => 0.12) }
        : { ...vial, halvesDeltaE: vial.red.map(() => 0.01) },
    );
    const layered = await judged({ ...filmed, measurement: { ...filmed.measurement, vials } });
    const { fit, onset_s: onset } = vialOf(layered, 'V8');
    expect(onset).toBeNull();
    expect(fit).toMatchObject({
      model: null,
      rate_constant: null,
      initial_rate: null,
      half_time_s: null,
      candidates: [],
    });
    expect(fit.reason).toMatch(/two liquid layers/);
    expect(sampleOf(layered, 'V8')).toMatchObject({ outcome: 'undecided', against: [], level: null });
    expect(sampleOf(layered, 'V8').reason).toMatch(/two liquid layers/);
    expect(checkOf(layered, 'two-layers').status).toBe('warn');
    const row = ratesCsv(layered.result)
      .split('\r\n')
      .find((line) => line.startsWith('V8'))!
      .split(',');
    for (const name of ['rate_constant', 'initial_rate_per_s', 'half_time_s', 'onset_s', 'model']) {
      expect(row[ratesColumns.indexOf(name)]).toBe('');
    }
    expect(resultSchema.safeParse(layered.result).success).toBe(true);
    // the others are judged as before
    expect(sampleOf(layered, 'V7').outcome).toBe('resisted');
    expect(vialOf(layered, 'V2').fit.model).toBe('first-order');
  });
});

describe('events', () => {
  const framesOf = (analysis: Analysis, region: string) => {
    const series = analysis.series.find((one) => one.region === region)!;
    return series.timeRunS.filter((_, frame) => series.extent[frame] !== null);
  };

  it('removed and redosed end a curve there; shaken leaves out the frames just after; words leave it whole', async () => {
    const analysis = await judged(
      withEvents(
        { atRunS: 20_000, what: 'removed', region: 'V7' },
        { atRunS: 10_000, what: 'redosed', region: 'V8' },
        { atRunS: 5000, what: 'Shaken', region: 'V4' },
        { atRunS: 6000, what: 'lamp moved', region: null },
      ),
    );
    expect(Math.max(...framesOf(analysis, 'V7'))).toBeLessThan(20_000);
    expect(Math.max(...framesOf(analysis, 'V8'))).toBeLessThan(10_000);
    // three gaps of 480 s
    expect(framesOf(analysis, 'V4').filter((runS) => runS >= 5000 && runS <= 5000 + 3 * 480)).toEqual([]);
    expect(framesOf(analysis, 'V4')).toHaveLength(60 - 3);
    expect(framesOf(analysis, 'V5')).toHaveLength(60);
    // read at 14,400 s: V7 was still there, V8 no longer the vial it was
    expect(sampleOf(analysis, 'V7').outcome).toBe('resisted');
    expect(sampleOf(analysis, 'V8').outcome).toBe('undecided');
    expect(sampleOf(analysis, 'V8').reason).toMatch(/V8 was redosed before the reading time/);
    expect(vialOf(analysis, 'V8').flags.map(({ code }) => code)).toEqual(expect.arrayContaining(['ended', 'redosed']));
    expect(checkOf(analysis, 'events')).toMatchObject({
      status: 'warn',
      message: expect.stringMatching(/lamp moved/) as string,
    });
    const last = vialOf(analysis, 'V8').fit;
    expect(last.rate_constant!.value / (1 / 2800)).toBeCloseTo(1, 0);
  });

  it('of the whole rack end every curve', async () => {
    const analysis = await judged(withEvents({ atRunS: 15_000, what: 'removed', region: null }));
    for (const { region } of analysis.series) expect(Math.max(...framesOf(analysis, region))).toBeLessThan(15_000);
    expect(sampleOf(analysis, 'V7').outcome).toBe('resisted');
  });
});

describe('stopped before the reading time', () => {
  it('by --until or by the film: undecided, stopped early', async () => {
    const until = await judged(filmed, { untilS: 9000 });
    const times = filmed.measurement.frames.timeRunS.filter((runS) => runS <= 9000);
    const cut = <T>(column: readonly T[]): readonly T[] => column.slice(0, times.length);
    const { measurement } = filmed;
    const short = await judged({
      ...filmed,
      measurement: {
        ...measurement,
        frames: { index: cut(measurement.frames.index), timeRunS: times },
        vials: measurement.vials.map((vial) =>
          Object.fromEntries(
            Object.entries(vial).map(([key, value]) => [key, Array.isArray(value) ? cut(value as unknown[]) : value]),
          ),
        ) as unknown as typeof measurement.vials,
      },
    });
    for (const analysis of [until, short]) {
      for (const region of ['V7', 'V8']) {
        expect(sampleOf(analysis, region).outcome).toBe('undecided');
        expect(sampleOf(analysis, region).reason).toMatch(/stopped early/);
        expect(vialOf(analysis, region).extent.at_read).toBeNull();
      }
      expect(checkOf(analysis, 'reading-time').status).toBe('warn');
    }
    expect(until.result.run.assumptions.join(' ')).toMatch(/--until/);
  });
});

describe('temperature from a probe', () => {
  it('gives rates at 25 degrees with the uncertainty of the activation energy; without one there are none', async () => {
    const probe = path.join(folder, 'probe.csv');
    await writeFile(probe, 'run_s,temperature_c\n0,19.9\n14400,20.1\n28800,20\n');
    const analysis = await judged({ ...filmed, run: { ...filmed.run, temperatureFile: probe } });
    const { fit } = vialOf(analysis, 'V8');
    const at = fit.at_reference_temperature!;
    // exp(50000 / 8.3145 (1 / 293.15 - 1 / 298.15)) = 1.411; 5.774 kJ/mol: 3.97 % of it
    expect(at).toMatchObject({ reference_c: 25, activation_energy_kj_mol: { value: 50 } });
    expect(at.measured_c).toBeCloseTo(20, 0);
    expect(at.rate_constant!.unit).toBe('1/s');
    expect(at.rate_constant!.value / fit.rate_constant!.value).toBeCloseTo(1.411, 1);
    const own = fit.rate_constant!.se! / fit.rate_constant!.value;
    expect(at.rate_constant!.se! / at.rate_constant!.value).toBeCloseTo(Math.hypot(own, 0.0397), 2);
    // a vial without a rate has none at 25 degrees either
    expect(vialOf(analysis, 'V1').fit.at_reference_temperature).toBeNull();
    const row = ratesCsv(analysis.result)
      .split('\r\n')
      .find((line) => line.startsWith('V8'))!
      .split(',');
    expect(Number(row[ratesColumns.indexOf('rate_constant_at_reference')])).toBe(at.rate_constant!.value);
    expect(row[ratesColumns.indexOf('reference_temperature_c')]).toBe('25');
    expect(analysis.result.run.assumptions.join(' ')).toMatch(/activation energy 50 ± 6 kJ\/mol/);
    expect(resultSchema.safeParse(analysis.result).success).toBe(true);
    expect(usual.result.run.assumptions.join(' ')).toMatch(/No temperature was recorded/);
  });
});
