import { UserError } from '../errors.ts';
import type { FindRegions } from '../rig-page/index.ts';

/** Proposes the regions of vials from frames spread over the source. */
export const findInFrames: FindRegions = () =>
  Promise.reject(new UserError({ code: 'find-missing', message: 'finding vials is not part of this build yet' }));
