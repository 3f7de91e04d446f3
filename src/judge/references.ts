import type { Result } from '../model/result.ts';
import { blanksAgainstStart, hasTurned, negativesAgainstBlank } from './controls.ts';
import { driftOfMixture } from './mixture.ts';
import { notReadSentence } from './obstacles.ts';
import type { Situation } from './situation.ts';
import { durationText, extentText } from './text.ts';
import type { JudgedVial } from './types.ts';

type Reference = Result['references'][number];

/** How every vial of known nature behaved, in the order of the run file; samples are left out. */
export function judgeReferences(situation: Situation): readonly Reference[] {
  return situation.vials.filter(({ vial }) => vial.role !== 'sample').map((judged) => describe(situation, judged));
}

function describe(situation: Situation, judged: JudgedVial): Reference {
  const { role, region } = judged.vial;
  const say = (as_expected: boolean | null, reason: string): Reference => ({ region, role, as_expected, reason });
  switch (role) {
    case 'positive':
      return positive(situation, judged, say);
    case 'negative':
    case 'blank':
      return still(situation, judged, say);
    case 'mixture': {
      const drift = driftOfMixture(judged);
      if (drift === null) return say(null, `${region} could not be read long enough to see whether it stays constant.`);
      return drift.constant
        ? say(true, `Stayed constant: its extent changed by ${extentText(drift.change)} over the run.`)
        : say(
            false,
            `Did not stay constant: its extent changed by ${extentText(drift.change)} over the run, so it cannot calibrate the colour path.`,
          );
    }
    case 'standard': {
      const { atRead } = judged;
      const level = judged.vial.levelMolPercent;
      if (atRead === null || judged.trouble !== null) return say(null, missing(situation, judged));
      return say(null, `Spiked to ${level ?? '?'} mol %: extent ${extentText(atRead.value)} at the reading time.`);
    }
    case 'known':
      return say(null, 'A known for comparing end colours; it is not used here.');
    case 'sample':
      return say(null, 'A sample.');
  }
}

type Say = (as_expected: boolean | null, reason: string) => Reference;

function positive(situation: Situation, judged: JudgedVial, say: Say): Reference {
  const turned = hasTurned(judged, situation.readingTime.readAtS);
  if (turned === null) return say(null, missing(situation, judged));
  const half = judged.fit.halfTimeS;
  if (!turned) {
    const extent = judged.atRead === null ? '' : ` (extent ${extentText(judged.atRead.value)}, turned is above 0.5)`;
    return say(false, `Had not turned by the reading time${extent}.`);
  }
  const when = half !== null && half.censored === 'none' ? `, half-way after ${durationText(half.value)}` : '';
  return say(true, `Turned before the reading time${when}.`);
}

function still(situation: Situation, judged: JudgedVial, say: Say): Reference {
  const blank = judged.vial.role === 'blank';
  const all = blank ? blanksAgainstStart(situation) : negativesAgainstBlank(situation);
  const found = all.find((entry) => entry.judged.index === judged.index);
  if (found === undefined) return say(null, missing(situation, judged));
  const yardstick = blank ? 'its own beginning' : situation.blanks.length === 0 ? 'extent 0 (no blank)' : 'the blank';
  const margin = extentText(situation.margin.value);
  const against = `extent ${extentText(found.excess)} against ${yardstick}`;
  if (found.state === 'still') return say(true, `Stayed within the margin ${margin}: ${against}.`);
  if (found.state === 'doubtful') return say(null, `At the margin ${margin}, within its error: ${against}.`);
  return say(false, `${blank ? 'Drifted' : 'Turned'} by more than the margin ${margin}: ${against}.`);
}

function missing(situation: Situation, judged: JudgedVial): string {
  const { trouble, notRead } = judged;
  const sentence = trouble?.sentence ?? notReadSentence(situation, judged, notRead ?? 'unreadable');
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}
