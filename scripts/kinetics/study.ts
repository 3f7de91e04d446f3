/**
 * Monte-Carlo figures behind the constants of src/kinetics, seeded. One study a call, printed as plain lines:
 * `node --import tsx scripts/kinetics/study.ts path|null|coverage [COUNT] [SEED] [MODEL]`.
 */
import { fitKinetics } from '../../src/kinetics/fit-kinetics.ts';
import type { KineticOptions, PathDraws } from '../../src/kinetics/kinetic-series.ts';
import type { Estimate } from '../../src/model/estimate.ts';
import type { Fit } from '../../src/model/fit.ts';
import { interpolate } from '../../src/numeric/interpolate.ts';
import { upperMedian } from '../../src/numeric/median.ts';
import { createRandom } from '../../src/numeric/random.ts';
import type { Random } from '../../src/numeric/random.ts';
import { simulateSeries, truths } from '../../tests/kinetics/series.ts';

const [study = 'path', countText = '60', seed = 'study', only = ''] = process.argv.slice(2);
const count = Number(countText);
const options: KineticOptions = { falseAlarm: 0.003, pathDraws: null, readAtS: null };
const grid = Array.from({ length: 41 }, (_, i) => i / 40);

/** A smooth error, 0 at both ends, of the given root mean square over extents and repeats. */
function smoothError(random: Random, rms: number): readonly number[] {
  const sizes = [1, 0.5, 0.25].map((size) => (size * rms * random.normal()) / Math.sqrt(0.65625));
  return grid.map((x) => sizes.reduce((sum, size, j) => sum + size * Math.sin((j + 1) * Math.PI * x), 0));
}

function covers(found: Estimate | null, truth: number): boolean {
  return found !== null && (found.ci95[0] ?? -Infinity) <= truth && truth <= (found.ci95[1] ?? Infinity);
}

const share = (hits: number, of: number): string => (of === 0 ? '-' : `${((100 * hits) / of).toFixed(1)} %`);

interface Case {
  readonly name: string;
  readonly truth: (t: number) => number;
  readonly quantity: (fit: Fit) => Estimate | null;
  readonly value: number;
}
const burst = (size: number) => (t: number) => size * (1 - Math.exp(-t / 200)) + (1 - size) * (1 - Math.exp(-t / 1e5));
function halfTimeOf(curve: (t: number) => number): number {
  let low = 0;
  let high = 7200;
  for (let i = 0; i < 50; i += 1) {
    const middle = (low + high) / 2;
    if (curve(middle) < 0.5) low = middle;
    else high = middle;
  }
  return low;
}
const cases: readonly Case[] = [
  { name: 'first-order', truth: truths['first-order'], quantity: (fit) => fit.rateConstant, value: 1 / 1200 },
  { name: 'zero-order', truth: truths['zero-order'], quantity: (fit) => fit.rateConstant, value: 0.1 / 7200 },
  {
    name: 'first-order-induction',
    truth: truths['first-order-induction'],
    quantity: (fit) => fit.inductionS,
    value: 1500,
  },
  { name: 'burst-background', truth: burst(0.05), quantity: (fit) => fit.amplitude, value: 0.05 },
  { name: 'burst-background', truth: burst(0.08), quantity: (fit) => fit.amplitude, value: 0.08 },
  {
    name: 'consecutive',
    truth: truths.consecutive,
    quantity: (fit) => fit.halfTimeS,
    value: halfTimeOf(truths.consecutive),
  },
  { name: 'sigmoid', truth: truths.sigmoid, quantity: (fit) => fit.halfTimeS, value: halfTimeOf(truths.sigmoid) },
];

function runCase(one: Case, rms: number, length: number): void {
  const random = createRandom(`${seed} ${one.name} ${one.value} ${rms}`);
  const names = new Map<string, number>();
  let covered = 0;
  let seen = 0;
  let half = 0;
  let initial = 0;
  const errors: number[] = [];
  const halfTruth = 1200 * Math.LN2;
  for (let i = 0; i < count; i += 1) {
    const error = smoothError(random, rms);
    const draws: PathDraws = { extent: grid, draws: Array.from({ length: 32 }, () => smoothError(random, rms)) };
    const truth = (t: number): number => one.truth(t) + interpolate(grid, error, one.truth(t));
    const series = simulateSeries(truth, `${seed} ${one.name} ${rms} ${i}`, { count: length });
    const fit = fitKinetics(series, { ...options, pathDraws: rms === 0 ? null : draws });
    names.set(String(fit.model), (names.get(String(fit.model)) ?? 0) + 1);
    if (covers(fit.halfTimeS, halfTruth)) half += 1;
    if (covers(fit.initialRate, 1 / 1200)) initial += 1;
    if (fit.model !== one.name) continue;
    seen += 1;
    const found = one.quantity(fit);
    if (covers(found, one.value)) covered += 1;
    if (found !== null) errors.push(Math.abs(found.value / one.value - 1));
  }
  const extra =
    one.name === 'first-order' ? ` half-time ${share(half, count)} initial rate ${share(initial, count)}` : '';
  console.log(
    `path error ${rms} ${one.name} ${one.value.toPrecision(3)}: named ${share(seen, count)}, covered ${share(covered, seen)},` +
      ` median error ${(100 * upperMedian(errors)).toFixed(1)} %${extra}; ${[...names].map(([n, k]) => `${n} ${k}`).join(', ')}`,
  );
}

/** Still series: the likelihood ratios' upper points, by making the false-alarm rate the one asked for. */
function runNull(): void {
  for (const rho of [0, 0.5, 0.9]) {
    for (const length of [30, 120, 400]) {
      const rates = [0.05, 0.01, 0.004, 0.002];
      const alarms = rates.map(() => 0);
      for (let i = 0; i < count; i += 1) {
        const noise = { count: length, rho, correlatedSd: 0.005, whiteSd: 0.001 };
        const series = simulateSeries(() => 0, `${seed} still ${rho} ${length} ${i}`, noise);
        for (let k = 0; k < rates.length; k += 1) {
          if (fitKinetics(series, { ...options, falseAlarm: rates[k]! }).model === 'none') break;
          alarms[k]! += 1;
        }
      }
      console.log(
        `still rho ${rho} frames ${length}: ${rates.map((r, k) => `${r}: ${share(alarms[k]!, count)}`).join(', ')}`,
      );
    }
  }
}

const wanted = cases.filter(({ name }) => only === '' || name === only);
if (study === 'null') runNull();
else if (study === 'coverage') for (const one of wanted) runCase(one, 0, 120);
else for (const rms of [0.02, 0.035, 0.05]) for (const one of wanted) runCase(one, rms, 120);
