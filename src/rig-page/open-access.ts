import path from 'node:path';
import { UserError } from '../errors.ts';
import { lookShares, openSource, type OpenSource } from '../frames/index.ts';
import type { Timing } from '../model/run.ts';
import type { FrameAccess } from './frame-access.ts';
import type { SourceFacts } from './messages.ts';

/** Opens with the first timing that the source bears; its refusals of the others are no faults of the source. */
async function openWith(file: string, timings: readonly Timing[]): Promise<{ source: OpenSource; timing: Timing }> {
  let refused: UserError | null = null;
  for (const timing of timings) {
    try {
      const parts = [{ file, startsRunS: null }];
      return { source: await openSource({ parts, timing, baseDir: path.dirname(file) }), timing };
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      refused = error;
    }
  }
  throw refused ?? new Error('no timing was given');
}

/** Length of a series by the camera's clock; `null` when its files have no usable times. */
async function clockLength(file: string): Promise<number | null> {
  try {
    const { source } = await openWith(file, [{ kind: 'clock-exif', readings: [] }]);
    await source.close();
    return source.info.durationS;
  } catch (error) {
    if (error instanceof UserError) return null;
    throw error;
  }
}

/**
 * A film or pictures by frame number, whatever their real times are, which the user has yet to tell.
 * @throws UserError when there is nothing to look at.
 */
export async function openAccess(file: string): Promise<FrameAccess> {
  const { source, timing } = await openWith(file, [
    { kind: 'speed', speed: 1 },
    { kind: 'interval', intervalS: 1 },
  ]);
  const { info } = source;
  const frames = Math.max(1, info.frameCount ?? Math.round((info.durationS ?? 0) * fallbackRate) + 1);
  // Seconds between neighbouring frames on the clock that the source was opened with.
  const stepS = timing.kind === 'speed' && frames > 1 ? (info.durationS ?? frames - 1) / (frames - 1) : 1;
  const facts: SourceFacts = {
    name: path.basename(file),
    kind: info.kind,
    width: info.width,
    height: info.height,
    frames,
    sampleSide: info.kind === 'video' && info.chromaSubsampled ? 2 : 1,
    transferTag: info.transferTag,
    playbackS: timing.kind === 'speed' ? info.durationS : null,
    clockLengthS: info.kind === 'stills' ? await clockLength(file) : null,
    notes: info.notes.filter(({ severity }) => severity === 'warn').map(({ message }) => message),
  };
  return {
    facts,
    // Half a step later, so that rounding does not give the frame before.
    still: async (index) => (await source.still((index + 0.5) * stepS)).image,
    looks: () => source.looks(lookShares),
    close: () => source.close(),
  };
}

/** Frames a second taken where a film does not tell how many it has; only steps of the scrubber depend on it. */
const fallbackRate = 25;
