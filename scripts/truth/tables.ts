import type { RunScore } from './score.ts';
import { clusteredShare, quantile, shareText, type Share } from './statistics.ts';

interface Group {
  readonly name: string;
  readonly mixtures: boolean;
  of(score: RunScore): boolean;
}

/** Columns of the two tables. */
const groups: Readonly<Record<'level' | 'source', readonly Group[]>> = {
  level: (['curve', 'image'] as const).flatMap((level) =>
    (['usual', 'mixtures'] as const).map((rack) => ({
      name: `${level === 'curve' ? 'curves' : 'pictures'}, ${rack}`,
      mixtures: rack === 'mixtures',
      of: (score: RunScore) => score.level === level && score.rack === rack,
    })),
  ),
  source: (['second physics', 'forward model', 'film', 'small film', 'stills'] as const).map((source) => ({
    name: source,
    mixtures: false,
    of: (score: RunScore) => score.source === source && score.rack === 'usual',
  })),
};

interface Goal {
  readonly usual: number;
  readonly mixtures: number;
}

/** Errors of extent, constants and half-times, and coverage, by level and rack or by source. */
export function mainTable(scores: readonly RunScore[], by: keyof typeof groups): readonly string[] {
  const row = (name: string, goal: string, cell: (runs: readonly RunScore[], mixtures: boolean) => string): string =>
    `| ${[name, ...groups[by].map(({ mixtures, of }) => cell(scores.filter(of), mixtures)), goal].join(' | ')} |`;
  const under =
    (of: (runs: readonly RunScore[]) => number, goal: Goal | null, digits: number, unit = '') =>
    (runs: readonly RunScore[], mixtures: boolean): string => {
      const value = of(runs);
      if (!Number.isFinite(value)) return 'none';
      const limit = goal === null ? Infinity : mixtures ? goal.mixtures : goal.usual;
      const written = `${value.toFixed(digits)}${unit}`;
      return value > limit ? `**${written}** (by ${(value - limit).toFixed(digits)})` : written;
    };
  const runQuantile =
    (figure: 'medianError' | 'worstError', share: number) =>
    (runs: readonly RunScore[]): number =>
      quantile(
        runs.map((run) => run[figure]),
        share,
      );
  const covered =
    (of: (score: RunScore) => readonly boolean[]) =>
    (runs: readonly RunScore[]): string =>
      coverage(clusteredShare(runs.map(of)));
  const tenth =
    (from: number, to: number) =>
    (runs: readonly RunScore[]): number => {
      const bins = runs.flatMap(({ tenths }) => tenths.slice(from, to));
      return bins.reduce((sum, bin) => sum + bin.sum, 0) / bins.reduce((sum, bin) => sum + bin.count, 0);
    };
  const errors = (runs: readonly RunScore[]): readonly number[] =>
    runs.flatMap(({ rates }) => rates.map(({ error }) => 100 * error));
  return [
    `| figure | ${groups[by].map(({ name }) => name).join(' | ')} | goal |`,
    `|---|${groups[by].map(() => '---|').join('')}---|`,
    row('runs', '', (runs) => String(runs.length)),
    row(
      'extent: median error of a run, median over runs',
      '0.02; 0.01',
      under(runQuantile('medianError', 0.5), { usual: 0.02, mixtures: 0.01 }, 4),
    ),
    row(
      'extent: worst error of a run, median over runs',
      '0.05; 0.02',
      under(runQuantile('worstError', 0.5), { usual: 0.05, mixtures: 0.02 }, 4),
    ),
    row('extent: worst error of a run, 90th percentile', '', under(runQuantile('worstError', 0.9), null, 4)),
    row('extent: mean error from 0 to 0.1', '', under(tenth(0, 1), null, 4)),
    row('extent: mean error from 0.3 to 0.7', '', under(tenth(3, 7), null, 4)),
    row('extent: mean error from 0.9 to 1', '', under(tenth(9, 10), null, 4)),
    row(
      'extent at the reading time: 95 % interval holds',
      '93 to 97 %',
      covered((s) => s.readings.map((one) => one.covered)),
    ),
    row(
      'the same, extents of 0.05 to 0.95',
      '93 to 97 %',
      covered((s) => s.readings.filter((one) => one.true > 0.05 && one.true < 0.95).map((one) => one.covered)),
    ),
    row('first-order vials so named', '', (runs) => {
      const of = runs.reduce((sum, s) => sum + s.firstOrder, 0);
      return of === 0
        ? 'none'
        : `${((100 * runs.reduce((sum, s) => sum + s.rates.length, 0)) / of).toFixed(1)} % of ${of}`;
    }),
    row(
      'first-order constant: median absolute error',
      '5 %; 2 %',
      under((runs) => quantile(errors(runs).map(Math.abs), 0.5), { usual: 5, mixtures: 2 }, 1, ' %'),
    ),
    row(
      'first-order constant: median error',
      '',
      under((runs) => quantile(errors(runs), 0.5), null, 1, ' %'),
    ),
    row(
      'first-order constant: 95 % interval holds',
      '93 to 97 %',
      covered((s) => s.rates.map((one) => one.covered)),
    ),
    row(
      'half-time: median absolute error',
      '',
      under(
        (runs) =>
          quantile(
            runs.flatMap((s) => s.halfTimes.flatMap(({ error }) => (error === null ? [] : [100 * Math.abs(error)]))),
            0.5,
          ),
        null,
        1,
        ' %',
      ),
    ),
    row(
      'half-time: 95 % interval holds',
      '93 to 97 %',
      covered((s) => s.halfTimes.map((one) => one.covered)),
    ),
    row('samples undecided', '', (runs) =>
      shareText(clusteredShare(runs.map((s) => s.samples.map(({ outcome }) => outcome === 'undecided')))),
    ),
    row('runs with more than one of six undecided', 'none', (runs) =>
      shareText(
        clusteredShare(runs.map((s) => [s.samples.filter(({ outcome }) => outcome === 'undecided').length > 1])),
      ),
    ),
    row('still vials read more than 0.03 off at the reading time', '', (runs) =>
      shareText(
        clusteredShare(
          runs.map((s) => s.readings.filter((one) => one.true < 0.01).map(({ error }) => Math.abs(error) > 0.03)),
        ),
      ),
    ),
    row(
      'vial frames without an extent',
      '',
      under((runs) => (100 * runs.reduce((sum, s) => sum + s.unread, 0)) / runs.length, null, 2, ' %'),
    ),
  ];
}

/** Bold where it lies outside 93 to 97 %, with the distance. */
export function coverage(share: Share): string {
  if (share.of === 0) return 'none';
  const percent = (100 * share.hits) / share.of;
  const off = percent < 93 ? percent - 93 : percent > 97 ? percent - 97 : 0;
  return off === 0 ? shareText(share) : `**${shareText(share)}** (by ${off > 0 ? '+' : ''}${off.toFixed(1)})`;
}
