import { falselyReacted, falselyResisted, powerTable, rackTable, wrongOutcomes } from './outcomes.ts';
import { biasPlot, powerPlot, ratePlot } from './plots.ts';
import { alpha, margin, readAtS } from './racks.ts';
import type { RunScore } from './score.ts';
import { clusteredShare, quantile, shareText, type Share } from './statistics.ts';

export interface StudyFacts {
  readonly seed: string;
  /** Asked for by the options. */
  readonly curves: number;
  readonly images: number;
  readonly failures: readonly string[];
}

/** Columns of the main table. */
const groups = [
  { name: 'curves, usual', of: (s: RunScore) => s.level === 'curve' && s.rack === 'usual' },
  { name: 'curves, mixtures', of: (s: RunScore) => s.level === 'curve' && s.rack === 'mixtures' },
  { name: 'pictures, usual', of: (s: RunScore) => s.level === 'image' && s.rack === 'usual' },
  { name: 'pictures, mixtures', of: (s: RunScore) => s.level === 'image' && s.rack === 'mixtures' },
] as const;

/** The study's files, by path beside `truth.md`. */
export function studyFiles(
  scores: readonly RunScore[],
  facts: StudyFacts,
): readonly { readonly path: string; readonly content: string }[] {
  const sound = scores.filter(({ rack }) => rack === 'usual' || rack === 'mixtures');
  return [
    { path: 'truth.md', content: studyText(scores, sound, facts) },
    { path: 'truth/extent.svg', content: biasPlot(sound) },
    { path: 'truth/rates.svg', content: ratePlot(sound) },
    { path: 'truth/power.svg', content: powerPlot(sound) },
  ];
}

function studyText(scores: readonly RunScore[], sound: readonly RunScore[], facts: StudyFacts): string {
  const count = (level: RunScore['level']): number => scores.filter((score) => score.level === level).length;
  const wrong = wrongOutcomes(scores, 40);
  return [
    '# Truth study',
    '',
    `Modelled racks with known truth, analysed by the tool: ${count('curve')} runs at curve level (of ${facts.curves} asked) and ${count('image')} from encoded pictures (of ${facts.images} asked). Seed \`${facts.seed}\`. Made with \`npm run truth\`; nothing is tuned on it.`,
    ...(count('curve') < facts.curves || count('image') < facts.images
      ? [
          '',
          'The time allowed ended before all runs were done: standard errors are wider for it. The same command goes on.',
        ]
      : []),
    ...(facts.failures.length === 0
      ? []
      : ['', `**${facts.failures.length} runs ended with an error:** ${facts.failures[0]}`]),
    '',
    `A rack is a blank, two positives, three negatives and six samples (clean, trace with a burst of 0.05 to 0.25, dirty, wrong, delayed, inert), read ${readAtS / 3600} h after dosing at a margin of ${margin} and alpha ${alpha}. Half the racks are usual ones, a fifth have three mixtures, the rest are broken on purpose.`,
    'Curve-level runs come in equal parts from a second physics that shares no code and no spectra with the analysis (`tests/support/other-physics.ts`; glass 1 %, bore 0.7 %, light falling off over the frame, noise, what patches leave of drift and flicker) and from the forward model with lamp, camera, matrix, bands, drift, flicker, glass (1 to 2 %), bore and noise drawn anew. Picture runs are 60 frames of 640 x 360 from the forward model with glare, meniscus and fall-off, as H.264 and JPEG, analysed by the whole pipeline.',
    '',
    '## Extent, rates and intervals in sound racks',
    '',
    '± is one standard error, runs as clusters. Goals are for the usual rack; those with mixtures stand behind the semicolon. A goal missed is in bold, with by how much.',
    '',
    ...mainTable(scores),
    '',
    '![Error of extent along the curve](truth/extent.svg)',
    '',
    '![Errors of first-order constants](truth/rates.svg)',
    '',
    '## Risks and power in sound racks',
    '',
    ...risks(sound),
    '',
    ...powerTable(sound),
    '',
    '![Share called reacted and resisted against the true difference](truth/power.svg)',
    '',
    '## Each kind of rack',
    '',
    ...rackTable(scores),
    '',
    '## Wrong outcomes, one by one',
    '',
    ...(wrong.length === 0 ? ['None.'] : wrong),
    '',
  ].join('\n');
}

interface Goal {
  readonly usual: number;
  readonly mixtures: number;
}

function mainTable(scores: readonly RunScore[]): readonly string[] {
  const row = (name: string, goal: string, cell: (runs: readonly RunScore[], mixtures: boolean) => string): string =>
    `| ${[name, ...groups.map(({ name: group, of }) => cell(scores.filter(of), group.endsWith('mixtures'))), goal].join(' | ')} |`;
  const under =
    (of: (runs: readonly RunScore[]) => number, goal: Goal | null, digits: number, unit = '') =>
    (runs: readonly RunScore[], mixtures: boolean): string => {
      const value = of(runs);
      if (!Number.isFinite(value)) return 'none';
      const limit = goal === null ? Infinity : mixtures ? goal.mixtures : goal.usual;
      const written = `${value.toFixed(digits)}${unit}`;
      return value > limit ? `**${written}** (by ${(value - limit).toFixed(digits)})` : written;
    };
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
    `| figure | ${groups.map(({ name }) => name).join(' | ')} | goal |`,
    `|---|${groups.map(() => '---|').join('')}---|`,
    row('runs', '', (runs) => String(runs.length)),
    row(
      'extent: median error of a run, median over runs',
      '0.02; 0.01',
      under(
        (runs) =>
          quantile(
            runs.map((s) => s.medianError),
            0.5,
          ),
        { usual: 0.02, mixtures: 0.01 },
        4,
      ),
    ),
    row(
      'extent: worst error of a run, median over runs',
      '0.05; 0.02',
      under(
        (runs) =>
          quantile(
            runs.map((s) => s.worstError),
            0.5,
          ),
        { usual: 0.05, mixtures: 0.02 },
        4,
      ),
    ),
    row(
      'extent: worst error of a run, 90th percentile',
      '',
      under(
        (runs) =>
          quantile(
            runs.map((s) => s.worstError),
            0.9,
          ),
        null,
        4,
      ),
    ),
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
    row(
      'vial frames without an extent',
      '',
      under((runs) => (100 * runs.reduce((sum, s) => sum + s.unread, 0)) / runs.length, null, 2, ' %'),
    ),
  ];
}

/** Bold where it lies outside 93 to 97 %, with the distance. */
function coverage(share: Share): string {
  if (share.of === 0) return 'none';
  const percent = (100 * share.hits) / share.of;
  const off = percent < 93 ? percent - 93 : percent > 97 ? percent - 97 : 0;
  return off === 0 ? shareText(share) : `**${shareText(share)}** (by ${off > 0 ? '+' : ''}${off.toFixed(1)})`;
}

function risks(sound: readonly RunScore[]): readonly string[] {
  const share = (of: (score: RunScore) => readonly boolean[]): Share => clusteredShare(sound.map(of));
  const still = share(({ samples }) => {
    const below = samples.filter(({ difference }) => difference <= margin);
    return below.length === 0 ? [] : [below.some(falselyReacted)];
  });
  const near = share(({ samples }) =>
    samples.filter(({ difference }) => difference >= margin && difference < margin + 0.02).map(falselyResisted),
  );
  const all = share(({ samples }) => samples.filter(({ difference }) => difference >= margin).map(falselyResisted));
  const power = share(({ samples }) =>
    samples
      .filter(({ difference }) => difference >= margin + 0.04 && difference < margin + 0.06)
      .map(({ outcome }) => outcome === 'reacted'),
  );
  const undecided = share(({ samples }) => samples.map(({ outcome }) => outcome === 'undecided'));
  const many = share(({ samples }) => [samples.filter(({ outcome }) => outcome === 'undecided').length > 1]);
  const judged = (value: Share, limit: number, side: 'at most' | 'at least'): string => {
    const got = value.hits / value.of;
    const missed = side === 'at most' ? got > limit : got < limit;
    return missed ? `**missed by ${(100 * Math.abs(got - limit)).toFixed(1)} %**` : 'met';
  };
  const line = (name: string, value: Share, limit: number, side: 'at most' | 'at least'): string =>
    `| ${name} | ${shareText(value)} | ${side} ${100 * limit} % | ${value.of === 0 ? 'none' : judged(value, limit, side)} |`;
  return [
    '| risk | found | goal | |',
    '|---|---|---|---|',
    line('runs with a false `reacted` (true difference at or below the margin)', still, alpha, 'at most'),
    line('false `resisted`, true difference up to 0.02 above the margin', near, alpha, 'at most'),
    line('false `resisted`, all samples above the margin', all, alpha, 'at most'),
    line('`reacted` where the true difference is 0.04 to 0.06 above the margin', power, 0.9, 'at least'),
    line('samples undecided', undecided, 1 / 6, 'at most').replace(/16\.6\d* %/, 'one in six'),
    `| runs with more than one of six undecided | ${shareText(many)} | none | ${many.hits === 0 ? 'met' : '**missed**'} |`,
  ];
}
