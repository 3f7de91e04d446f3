import type { ResultFlag } from '../model/result.ts';
import { driftOfMixture } from './mixture.ts';
import { effectOf, eventsOf, settlingGaps } from './events.ts';
import { moveText } from './move-text.ts';
import { notReadSentence } from './obstacles.ts';
import type { Situation } from './situation.ts';
import { countText, extentText, numberText, percentText } from './text.ts';
import type { JudgedVial } from './types.ts';
import {
  clippedShare,
  fastPart,
  fewestFastFrames,
  meniscusFall,
  offPathShare,
  shareClipped,
  shareOffPath,
  sinkingShare,
} from './vial-signs.ts';

/** Codes of flags that forbid quoting a rate for the vial. */
const ratelessCodes: readonly string[] = ['two-layers', 'own-path'];

/** Whether a vial's flags forbid quoting a rate. */
export function forbidsRate(flags: readonly ResultFlag[]): boolean {
  return flags.some(({ code }) => ratelessCodes.includes(code));
}

/** Everything a reader of this vial's curve should know, in the order of time where there is one. */
export function flagsOf(situation: Situation, judged: JudgedVial): readonly ResultFlag[] {
  return [...troubleFlags(situation, judged), ...eventFlags(situation, judged), ...noteFlags(situation, judged)];
}

function flag(code: string, message: string, from: number | null = null, to: number | null = null): ResultFlag {
  return { code, message, from_run_s: from, to_run_s: to };
}

function troubleFlags(situation: Situation, judged: JudgedVial): readonly ResultFlag[] {
  const { fit, notRead, vial, move } = judged;
  const found: ResultFlag[] = [];
  if (notRead !== null) {
    const sentence = notReadSentence(situation, judged, notRead);
    found.push(flag(notRead, `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`));
  }
  if (fit.model === null) found.push(flag('no-fit', `No rate: ${fit.reason ?? 'the curve could not be fitted'}.`));
  const { outliers } = fit;
  if (outliers.length > 0) {
    const at = (position: number): number | null => judged.series.timeRunS[position] ?? null;
    found.push(
      flag(
        'outlying-frames',
        `${countText(outliers.length, 'frame')} of ${judged.usable.frame.length} ${outliers.length === 1 ? 'lies' : 'lie'} outside what comes before and after (a hand, a reflection): without weight in the fitted curve.`,
        at(outliers[0]!),
        at(outliers.at(-1)!),
      ),
    );
  }
  if (judged.trouble?.code === 'two-layers') {
    found.push(
      flag(
        'two-layers',
        'Upper and lower part differ in colour: two liquid layers, or settling. No rate is quoted, and no outcome decided.',
      ),
    );
  }
  if (move !== null) found.push(flag('vial-moved', `This vial ${moveText(move)}.`, move.atRunS));
  const offPath = shareOffPath(judged);
  if (judged.series.strange === true) {
    found.push(
      flag(
        'own-path',
        "Its colours do not change as this reaction's do in the other vials (cloudy, dried, separated, leaked, or coloured otherwise): it had no say in the run's colour path, and its extents are doubtful. No rate is quoted, and no outcome decided.",
      ),
    );
  } else if (offPath > offPathShare) {
    found.push(
      flag(
        'off-path',
        `In ${percentText(offPath)} of its frames the colour is not one of this reaction (bubbles, precipitate, a coloured sample or an intermediate); extents there are doubtful.`,
      ),
    );
  }
  const clipped = shareClipped(situation, judged);
  if (clipped > clippedShare) {
    found.push(
      flag(
        'clipped',
        `In ${percentText(clipped)} of its frames two colour channels are at their limit: light it differently, or change the exposure.`,
      ),
    );
  }
  const fall = meniscusFall(situation, judged);
  if (fall !== null && fall > sinkingShare) {
    found.push(
      flag(
        'evaporation',
        `The meniscus sank by ${percentText(fall)} of the region's height: liquid evaporated or leaked, and what is left is more concentrated.`,
      ),
    );
  }
  const fast = fastPart(judged);
  if (fast !== null && fast.frames < fewestFastFrames) {
    found.push(
      flag(
        'few-fast-frames',
        `Only ${fast.frames} frames show the fast part of the change; ${fast.beforeFilm ? 'it began before the film did' : `a frame every ${numberText(fast.betterIntervalS)} s would show it`}.`,
      ),
    );
  }
  const drift = vial.role === 'mixture' ? driftOfMixture(judged) : null;
  if (drift !== null && !drift.constant) {
    found.push(
      flag('mixture-moves', `A mixture must stay constant; its extent changed by ${extentText(drift.change)}.`),
    );
  }
  return found;
}

function eventFlags({ input, typicalGapS }: Situation, judged: JudgedVial): readonly ResultFlag[] {
  return eventsOf(input.run.events, judged.vial.region).map((event) => {
    const where = event.region === null ? 'The whole rack' : 'This vial';
    switch (effectOf(event)) {
      case 'ends':
        return flag(
          event.what.trim().toLowerCase(),
          `${where} was ${event.what}: the curve ends here.`,
          event.atRunS,
          null,
        );
      case 'breaks': {
        const to = event.atRunS + settlingGaps * typicalGapS;
        return flag('shaken', `${where} was shaken: the frames just after are left out.`, event.atRunS, to);
      }
      case 'noted':
        return flag(
          'event',
          `Noted at the bench${event.region === null ? ' for the whole rack' : ''}: ${event.what}.`,
          event.atRunS,
          event.atRunS,
        );
    }
  });
}

function noteFlags({ input }: Situation, judged: JudgedVial): readonly ResultFlag[] {
  return input.measurement.notes
    .filter(({ region }) => region === judged.vial.region)
    .map(({ code, message, fromRunS, toRunS }) => flag(code, message, fromRunS, toRunS));
}
