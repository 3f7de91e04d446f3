import { UserError } from './errors.ts';
import { shownPath } from './files/index.ts';
import type { Run } from './model/run.ts';

/** @throws UserError when the rig was placed on frames of another size than the source has. */
export function checkFrameSize(run: Run, info: { readonly width: number; readonly height: number }): void {
  const { width, height } = run.rig.frame;
  if (width === info.width && height === info.height) return;
  const turned = width === info.height && height === info.width;
  throw new UserError({
    code: 'rig-of-another-frame',
    message: 'the rig was placed on frames of another size than the source has',
    file: shownPath(run.rigFile),
    key: 'frame',
    expected: `${info.width} x ${info.height}, the upright frame of the source`,
    got: `${width} x ${height}`,
    hint: turned
      ? 'the camera was turned: place the regions again with "vialapse rig"'
      : 'use the rig of this camera setting, or place the regions again with "vialapse rig"',
  });
}
