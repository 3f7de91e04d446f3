import { durationText, percentText } from './text.ts';
import type { VialMove } from './types.ts';

/** What was seen of a move, after the vial's name: `became 12 % darker between two frames at 3 h 10 min of the run's clock, ...`. */
export function moveText({ kind, size, atRunS }: VialMove): string {
  const when = `between two frames at ${durationText(atRunS)} of the run's clock, with its neighbours still`;
  return kind === 'brightness'
    ? `became ${percentText(Math.abs(size))} ${size < 0 ? 'darker' : 'brighter'} in all colours alike ${when}: consistent with the vial having been moved or turned, not with reaction`
    : `has its meniscus ${Math.round(Math.abs(size))} pixels ${size < 0 ? 'higher' : 'lower'} ${when}: consistent with the vial having been moved, lifted, or opened for adding or taking liquid`;
}
