import type { SampleGroup } from './groups.ts';
import type { Situation } from './situation.ts';
import { durationText, listText } from './text.ts';
import type { JudgedVial, NotRead } from './types.ts';

/** A sample's vials sorted by whether they can be judged. */
export interface Judgeable {
  readonly fit: readonly JudgedVial[];
  /** A sentence for each vial left out. */
  readonly leftOut: readonly { readonly region: string; readonly code: string; readonly sentence: string }[];
}

/** Which replicates of a sample can be judged at the reading time, and why the others cannot. */
export function judgeable(situation: Situation, sample: SampleGroup): Judgeable {
  const leftOut: { region: string; code: string; sentence: string }[] = [];
  const fit = sample.members.filter((judged) => {
    const region = judged.vial.region;
    if (judged.notRead !== null) {
      leftOut.push({ region, code: judged.notRead, sentence: notReadSentence(situation, judged, judged.notRead) });
      return false;
    }
    if (judged.trouble !== null) {
      leftOut.push({ region, code: judged.trouble.code, sentence: judged.trouble.sentence });
      return false;
    }
    return true;
  });
  return { fit, leftOut };
}

/** Why a vial has no extent at the reading time. */
export function notReadSentence(situation: Situation, judged: JudgedVial, why: NotRead): string {
  const { readAtS } = situation.readingTime;
  const region = judged.vial.region;
  const lastS = judged.usable.timeS.at(-1);
  switch (why) {
    case 'stopped-early':
      return `stopped early: ${region} was watched for ${durationText(lastS ?? 0)} after dosing, the reading time is ${durationText(readAtS)}`;
    case 'ended':
      return `${region} was ${judged.endedBy?.what ?? 'taken away'} before the reading time of ${durationText(readAtS)}`;
    case 'gap':
      return `no usable frame of ${region} near the reading time of ${durationText(readAtS)}`;
    case 'unreadable':
      return `${region} could not be read in any frame`;
  }
}

/** `A3` or `A3, A4 and A5`. */
export function regionsText(vials: readonly JudgedVial[]): string {
  return listText(vials.map(({ vial }) => vial.region));
}
