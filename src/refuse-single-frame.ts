import { UserError } from './errors.ts';
import { shownPath } from './files/index.ts';
import type { Measurement } from './model/measurement.ts';
import type { Run } from './model/run.ts';

/** @throws UserError when fewer than two frames could be used: a time-lapse begins with two. */
export function refuseSingleFrame({ frames, rejected }: Measurement, run: Run): void {
  if (frames.index.length > 1) return;
  throw new UserError({
    code: 'one-frame',
    message: 'only one frame of the source can be used, so nothing can be followed over time',
    file: shownPath(run.file),
    key: 'source',
    expected: 'two frames or more',
    got:
      rejected.length === 0 ? undefined : `${rejected.length} others were rejected, the first: ${rejected[0]!.reason}`,
    hint: 'give the whole series, and look at it with "vialapse preview"',
  });
}
