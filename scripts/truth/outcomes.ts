import { margin, type RackKind } from './racks.ts';
import type { RunScore } from './score.ts';
import { clusteredShare, shareText } from './statistics.ts';

type Sample = RunScore['samples'][number];

/** Falsely `reacted`: the true difference is at or below the margin. Falsely `resisted`: at or above it. */
export const falselyReacted = ({ difference, outcome }: Sample): boolean =>
  outcome === 'reacted' && difference <= margin;
export const falselyResisted = ({ difference, outcome }: Sample): boolean =>
  outcome === 'resisted' && difference >= margin;

/** Distance above the margin, in extent, of the bands of the power table. */
const bands: readonly (readonly [number, number])[] = [
  [-0.02, -0.01],
  [-0.01, 0],
  [0, 0.01],
  [0.01, 0.025],
  [0.025, 0.05],
  [0.05, 0.075],
  [0.075, 0.1],
  [0.1, 0.2],
  [0.2, 1],
];

/** Called `reacted` (and `resisted`) against the true difference. */
export function powerTable(scores: readonly RunScore[]): readonly string[] {
  return [
    '| true difference above the margin | called `reacted` | called `resisted` |',
    '|---|---|---|',
    ...bands.map(([from, to]) => {
      const within = scores.map(({ samples }) =>
        samples.filter(({ difference }) => difference - margin >= from && difference - margin < to),
      );
      const share = (outcome: Sample['outcome']): string =>
        shareText(clusteredShare(within.map((samples) => samples.map((sample) => sample.outcome === outcome))));
      return `| ${from} to ${to} | ${share('reacted')} | ${share('resisted')} |`;
    }),
  ];
}

/** What each rack must come to. */
const demands: readonly {
  readonly rack: RackKind;
  readonly must: string;
  met(score: RunScore): boolean;
}[] = [
  { rack: 'usual', must: 'controls pass', met: (score) => !score.controlsFailed },
  { rack: 'mixtures', must: 'controls pass', met: (score) => !score.controlsFailed },
  { rack: 'standards', must: 'controls pass', met: (score) => !score.controlsFailed },
  {
    rack: 'one negative',
    must: 'nothing `resisted`; the reason asks for negatives',
    met: ({ samples }) =>
      samples.every(({ outcome, reason, difference }) =>
        outcome === 'undecided' ? difference > margin || /add negative references/.test(reason) : outcome === 'reacted',
      ),
  },
  {
    rack: 'dead positives',
    must: 'controls fail; nothing `resisted`',
    met: ({ controlsFailed, samples }) => controlsFailed && samples.every(({ outcome }) => outcome !== 'resisted'),
  },
  {
    rack: 'turning negatives',
    must: 'controls fail; nothing `resisted`',
    met: ({ controlsFailed, samples }) => controlsFailed && samples.every(({ outcome }) => outcome !== 'resisted'),
  },
  {
    rack: 'no plateau',
    must: 'no wrong outcome',
    met: ({ samples }) => samples.every((sample) => !falselyReacted(sample) && !falselyResisted(sample)),
  },
  { rack: 'at the margin', must: 'controls pass', met: (score) => !score.controlsFailed },
];

/** One line a rack: runs, how many did what they must, and their samples' outcomes. */
export function rackTable(scores: readonly RunScore[]): readonly string[] {
  return [
    '| rack | runs | must | did | falsely `reacted` | falsely `resisted` | undecided |',
    '|---|---|---|---|---|---|---|',
    ...demands.map(({ rack, must, met }) => {
      const runs = scores.filter((score) => score.rack === rack);
      const samples = runs.flatMap((score) => score.samples);
      const count = (of: (sample: Sample) => boolean): number => samples.filter(of).length;
      const undecided = count(({ outcome }) => outcome === 'undecided');
      const cells = [
        rack,
        runs.length,
        must,
        `${runs.filter(met).length} of ${runs.length}`,
        count(falselyReacted),
        count(falselyResisted),
        samples.length === 0 ? 'none' : `${((100 * undecided) / samples.length).toFixed(1)} % of ${samples.length}`,
      ];
      return `| ${cells.join(' | ')} |`;
    }),
  ];
}

/** Every wrong outcome by name, so that it can be made again; at most `most`. */
export function wrongOutcomes(scores: readonly RunScore[], most: number): readonly string[] {
  const wrong = scores.flatMap((score) =>
    score.samples
      .filter((sample) => falselyReacted(sample) || falselyResisted(sample))
      .map(
        ({ label, difference, outcome }) =>
          `- ${score.level} ${score.index} (${score.rack}, ${score.source}): ${label}, true difference ${difference.toFixed(3)}, called \`${outcome}\``,
      ),
  );
  return wrong.length > most ? [...wrong.slice(0, most), `- and ${wrong.length - most} more`] : wrong;
}
