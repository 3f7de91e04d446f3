import { powerTable, rackTable, wrongOutcomes } from './outcomes.ts';
import { biasPlot, powerPlot, ratePlot } from './plots.ts';
import { alpha, margin, readAtS } from './racks.ts';
import type { RunScore } from './score.ts';
import { risks } from './risks.ts';
import { claimTables } from './claim-tables.ts';
import { mainTable } from './tables.ts';

export interface StudyFacts {
  readonly seed: string;
  /** Asked for by the options. */
  readonly curves: number;
  readonly images: number;
  readonly edges: number;
  readonly failures: readonly string[];
}

/** The study's files, by path beside `truth.md`. */
export function studyFiles(
  scores: readonly RunScore[],
  facts: StudyFacts,
): readonly { readonly path: string; readonly content: string }[] {
  const { sound, edges } = sorted(scores);
  return [
    { path: 'truth.md', content: studyText(scores, facts) },
    { path: 'truth/extent.svg', content: biasPlot(sound) },
    { path: 'truth/rates.svg', content: ratePlot(sound) },
    { path: 'truth/power.svg', content: powerPlot([...sound, ...edges]) },
  ];
}

function studyText(scores: readonly RunScore[], facts: StudyFacts): string {
  const { sound, edges } = sorted(scores);
  const count = (level: RunScore['level']): number => scores.filter((score) => score.level === level).length;
  const wrong = wrongOutcomes(scores, 40);
  return [
    '# Truth study',
    '',
    `Modelled racks with known truth, analysed by the tool: ${count('curve')} runs at curve level (of ${facts.curves} asked), ${count('image')} from encoded pictures (of ${facts.images} asked), and ${count('edge')} curve-level runs at the margin (of ${facts.edges} asked). Seed \`${facts.seed}\`. Made with \`npm run truth\`; nothing is tuned on it.`,
    ...(count('curve') < facts.curves || count('image') < facts.images || count('edge') < facts.edges
      ? [
          '',
          'The time allowed ended before all runs were done: standard errors are wider for it. The same command goes on.',
        ]
      : []),
    ...(facts.failures.length === 0
      ? []
      : ['', `**${facts.failures.length} runs ended with an error:** ${facts.failures[0]}`]),
    '',
    `A rack is a blank, two positives, three negatives and six samples (clean, trace with a burst of 0.05 to 0.25, dirty, wrong, delayed, inert), read ${readAtS / 3600} h after dosing at a margin of ${margin} and alpha ${alpha}. Half the racks are usual ones, a sixth have three mixtures, one in twelve has five spiked standards, the rest are broken on purpose. Racks at the margin, where both risks are largest, have four samples within 0.02 of it.`,
    'Curve-level runs come in equal parts from a second physics that shares no code and no spectra with the analysis (`tests/support/other-physics.ts`; glass 1 %, bore 0.7 %, light falling off over the frame, noise, what patches leave of drift and flicker) and from the forward model with lamp, camera, matrix, bands, drift, flicker, glass (1 to 2 %), bore and noise drawn anew. Picture runs are 60 frames (films 1280 x 720; small films and stills 640 x 360, where a vial is 30 pixels wide) from the forward model with glare, meniscus and fall-off, as H.264 and JPEG, analysed by the whole pipeline.',
    '',
    '## Extent, rates and intervals in sound racks',
    '',
    '± is one standard error, runs as clusters. Goals are for the usual rack; those with mixtures stand behind the semicolon. A goal missed is in bold, with by how much.',
    '',
    ...mainTable(scores, 'level'),
    '',
    'By source of the modelled data, usual racks:',
    '',
    ...mainTable(scores, 'source'),
    '',
    '![Error of extent along the curve](truth/extent.svg)',
    '',
    '![Errors of first-order constants](truth/rates.svg)',
    '',
    '## What is claimed beside: models, onsets, ratios, levels, window',
    '',
    ...claimTables(sound),
    '',
    '## Risks and power in sound racks',
    '',
    ...risks(sound, edges),
    '',
    ...powerTable([...sound, ...edges]),
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

/** Racks with nothing amiss, and those at the margin. */
function sorted(scores: readonly RunScore[]): {
  readonly sound: readonly RunScore[];
  readonly edges: readonly RunScore[];
} {
  return {
    sound: scores.filter(({ rack }) => rack === 'usual' || rack === 'mixtures' || rack === 'standards'),
    edges: scores.filter(({ rack }) => rack === 'at the margin'),
  };
}
