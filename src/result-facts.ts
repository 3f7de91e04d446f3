import type { Measurement } from './model/measurement.ts';
import type { Result } from './model/result.ts';

/** What every result says of how it came about, whatever was judged. */
export interface Provenance {
  readonly version: string;
  readonly madeAt: Date;
  /** Run, rig, reaction and the other small files read. */
  readonly inputs: Result['made']['inputs'];
}

/** @returns `made`: version, time (UTC), content hashes of all inputs with the media last, and the decoder */
export function madeOf({ version, madeAt, inputs }: Provenance, { source }: Measurement): Result['made'] {
  return { version, at: madeAt.toISOString(), inputs: [...inputs, ...source.inputs], decoder: source.decoder };
}

/** @returns `run.frames`: read, used, and each rejected one by its number in the media with its reason */
export function framesOf({ framesRead, frames, rejected }: Measurement): Result['run']['frames'] {
  return {
    read: framesRead,
    used: frames.timeRunS.length,
    rejected: rejected.map(({ index, reason }) => ({ index, reason })),
  };
}
