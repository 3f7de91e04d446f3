/** One run's scores against its truth. */
export interface RunScore {
  readonly kind: 'usual' | 'mixtures';
  readonly medianError: number;
  readonly worstError: number;
  readonly midBias: number;
  /** Relative errors of first-order constants, and whether their 95 % intervals hold the truth. */
  readonly rates: readonly { readonly error: number; readonly covered: boolean }[];
  readonly rateNamed: number;
  readonly rateVials: number;
  /** Extent at the reading time: covered or not, one entry a vial. */
  readonly extentCovered: readonly boolean[];
  readonly samples: readonly {
    readonly trueDifference: number;
    readonly outcome: 'reacted' | 'resisted' | 'undecided';
  }[];
}

export const quantile = (values: readonly number[], p: number): number => {
  const sorted = [...values].sort((first, second) => first - second);
  return sorted.length === 0 ? NaN : sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))]!;
};
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** Share of hits with its standard error over runs (vials of one run are not independent). */
function clustered(perRun: readonly (readonly boolean[])[]): string {
  const shares = perRun.filter((run) => run.length > 0).map((run) => run.filter(Boolean).length / run.length);
  if (shares.length < 2) return 'too few';
  const centre = mean(shares);
  const se = Math.sqrt(
    shares.reduce((sum, share) => sum + (share - centre) ** 2, 0) / (shares.length - 1) / shares.length,
  );
  return `${percent(centre)} (standard error ${percent(se)})`;
}

/** The study as Markdown; goals beside the figures, missed ones said. */
export function studyText(
  scores: readonly RunScore[],
  facts: { readonly seed: string; readonly margin: number },
): string {
  const row = (name: string, of: (kind: RunScore['kind']) => string, goal: string): string =>
    `| ${name} | ${of('usual')} | ${of('mixtures')} | ${goal} |`;
  const kind = (which: RunScore['kind']): readonly RunScore[] => scores.filter((score) => score.kind === which);
  const number = (value: number): string => (Number.isFinite(value) ? value.toFixed(4) : 'none');
  const samples = scores.flatMap((score) => score.samples);
  const still = samples.filter(({ trueDifference }) => trueDifference <= facts.margin);
  const moving = samples.filter(({ trueDifference }) => trueDifference >= facts.margin);
  const power = [0.05, 0.1, 0.15, 0.2, 0.3].map((from, index, list) => {
    const to = list[index + 1] ?? 1.1;
    const within = samples.filter(({ trueDifference }) => trueDifference >= from && trueDifference < to);
    const reacted = within.filter(({ outcome }) => outcome === 'reacted').length;
    return `| ${from} to ${to} | ${within.length} | ${within.length === 0 ? 'none' : percent(reacted / within.length)} |`;
  });
  return [
    '# Truth study',
    '',
    `Modelled racks of 12 vials at curve level, judged by the whole quick half (path, kinetics, judge). Seed \`${facts.seed}\`, ${kind('usual').length} usual runs and ${kind('mixtures').length} with three mixtures; margin ${facts.margin}.`,
    'Colours come from a second physics (tests/support/other-physics.ts) that shares no code and no spectra with the analysis: lamp, sensitivities, matrix, spectra, stray light and exposure are drawn anew for every run, with glass (1 %), bore (0.7 %), light falling off over the frame, and noise. No pixels are drawn here, so compression, glare and drift of the lamp are not in it.',
    'Made with `npm run truth`; the allowance for path error in rates was chosen on the first runs of seed `truth-1`.',
    '',
    '| figure | usual rack | with three mixtures | goal |',
    '|---|---|---|---|',
    row(
      'extent: median error of a run (median over runs)',
      (k) =>
        number(
          quantile(
            kind(k).map((s) => s.medianError),
            0.5,
          ),
        ),
      '0.02; mixtures 0.01',
    ),
    row(
      'extent: worst error of a run (median over runs)',
      (k) =>
        number(
          quantile(
            kind(k).map((s) => s.worstError),
            0.5,
          ),
        ),
      '0.05; mixtures 0.02',
    ),
    row(
      'extent: worst error of a run (90th percentile)',
      (k) =>
        number(
          quantile(
            kind(k).map((s) => s.worstError),
            0.9,
          ),
        ),
      '',
    ),
    row('extent 0.35 to 0.65: mean bias', (k) => number(mean(kind(k).map((s) => s.midBias))), '0'),
    row(
      'first-order constant: median error',
      (k) =>
        percent(
          quantile(
            kind(k).flatMap((s) => s.rates.map(({ error }) => Math.abs(error))),
            0.5,
          ),
        ),
      '5 %; mixtures 2 %',
    ),
    row(
      'first-order constant: coverage of 95 %',
      (k) => clustered(kind(k).map((s) => s.rates.map(({ covered }) => covered))),
      '93 to 97 %',
    ),
    row(
      'first-order vials so named',
      (k) =>
        percent(kind(k).reduce((sum, s) => sum + s.rateNamed, 0) / kind(k).reduce((sum, s) => sum + s.rateVials, 0)),
      '',
    ),
    row(
      'extent at reading time: coverage of 95 %',
      (k) => clustered(kind(k).map((s) => s.extentCovered)),
      '93 to 97 %',
    ),
    '',
    '## Outcomes',
    '',
    `- false \`reacted\` (true difference at or below the margin): ${still.filter(({ outcome }) => outcome === 'reacted').length} of ${still.length} samples; runs with one: ${scores.filter((s) => s.samples.some(({ trueDifference, outcome }) => trueDifference <= facts.margin && outcome === 'reacted')).length} of ${scores.length} (allowed: 5 % of runs)`,
    `- false \`resisted\` (true difference at or above the margin): ${moving.filter(({ outcome }) => outcome === 'resisted').length} of ${moving.length} samples (allowed: 5 % of those at the margin)`,
    `- undecided: ${percent(samples.filter(({ outcome }) => outcome === 'undecided').length / samples.length)} of samples (goal: at most one of six)`,
    '',
    '| true difference | samples | called `reacted` |',
    '|---|---|---|',
    ...power,
    '',
  ].join('\n');
}
