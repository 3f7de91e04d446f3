import type { RunEvent } from '../model/run.ts';

/** What an event does to the curve of a vial it concerns. */
export type EventEffect = 'ends' | 'breaks' | 'noted';

/**
 * `removed` and `redosed` end a curve: the vial is gone, or time since dosing no longer means one dosing.
 * `shaken` breaks it: the frames just after are left out. Any other words are only noted.
 */
export function effectOf(event: RunEvent): EventEffect {
  const what = event.what.trim().toLowerCase();
  if (what === 'removed' || what === 'redosed') return 'ends';
  return what === 'shaken' ? 'breaks' : 'noted';
}

/** Events that concern a vial: its own and those of the whole rack, in order of time. */
export function eventsOf(events: readonly RunEvent[], region: string): readonly RunEvent[] {
  return events
    .filter((event) => event.region === null || event.region === region)
    .sort((first, second) => first.atRunS - second.atRunS);
}

/** Frames left out after shaking, in typical gaps between frames; chosen: bubbles and a swirling meniscus settle within it. */
export const settlingGaps = 3;

/** Whether a value at this run time is kept, by the vial's events. */
export function keptByEvents(
  events: readonly RunEvent[],
  region: string,
  typicalGapS: number,
): (runS: number) => boolean {
  const concerned = eventsOf(events, region);
  const end = concerned.find((event) => effectOf(event) === 'ends')?.atRunS ?? Infinity;
  const breaks = concerned.filter((event) => effectOf(event) === 'breaks').map((event) => event.atRunS);
  return (runS) => runS < end && breaks.every((atRunS) => runS < atRunS || runS > atRunS + settlingGaps * typicalGapS);
}
