import { UserError } from './errors.ts';
import { shownPath } from './files/index.ts';
import type { Measurement } from './model/measurement.ts';
import type { Run } from './model/run.ts';

/** @throws UserError when fewer than two frames could be used: a time-lapse begins with two. */
export function refuseSingleFrame({ frames, rejected, glance, source }: Measurement, run: Run): void {
  if (frames.index.length > 1) return;
  throw glance && (source.frameCount ?? 2) > 1 ? singleKeyFrame(run) : singleFrame(run, rejected);
}

export function singleFrame(run: Run, rejected: readonly { readonly reason: string }[]): UserError {
  return new UserError({
    code: 'one-frame',
    message: 'only one frame of the source can be used, so nothing can be followed over time',
    file: shownPath(run.file),
    key: 'source',
    expected: 'two frames or more',
    got:
      rejected.length === 0 ? undefined : `${rejected.length} others were rejected, the first: ${rejected[0]!.reason}`,
    hint:
      rejected.length === 0
        ? 'give the whole series; a single picture of an end-point test is for "vialapse match"'
        : 'look at them with "vialapse preview"',
  });
}

function singleKeyFrame(run: Run): UserError {
  return new UserError({
    code: 'one-frame',
    message: 'the film has one key frame only, and --glance looks at nothing else',
    file: shownPath(run.file),
    key: 'source',
    hint: 'leave --glance out: all frames are read then',
  });
}

/** Key frames below which a glance is a poor answer. Chosen: fewer tell no curve from a straight line. */
export const fewKeyFrames = 8;

/** What a glance at few frames should say of itself. */
export function glanceRemarks({ glance, framesRead, source }: Measurement): readonly string[] {
  if (!glance || framesRead >= fewKeyFrames || framesRead >= (source.frameCount ?? Infinity)) return [];
  return [
    `This is a glance at ${framesRead} of ${source.frameCount ?? 'many'} frames, as the film has no more key frames: too few to follow a reaction. Analyse without --glance before anything is concluded.`,
  ];
}
