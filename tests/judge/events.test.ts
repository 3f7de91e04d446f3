import { describe, expect, it } from 'vitest';
import { effectOf, eventsOf, keptByEvents } from '../../src/judge/events.ts';
import type { RunEvent } from '../../src/model/run.ts';

const event = (atRunS: number, what: string, region: string | null = null): RunEvent => ({ atRunS, what, region });
const keptAt = (events: readonly RunEvent[], times: readonly number[]): readonly number[] =>
  times.filter(keptByEvents(events, 'A1', 60));

describe('events', () => {
  it('are told by their word, however it is written', () => {
    expect(
      ['removed', ' Redosed ', 'SHAKEN', 'lamp moved', 'shaken gently'].map((what) => effectOf(event(0, what))),
    ).toEqual(['ends', 'ends', 'breaks', 'noted', 'noted']);
  });

  it('concern a vial when they are its own or the rack’s, in order of time', () => {
    const all = [event(300, 'c'), event(100, 'a', 'A1'), event(200, 'b', 'A2')];
    expect(eventsOf(all, 'A1').map(({ what }) => what)).toEqual(['a', 'c']);
  });

  it('end a curve from their moment on, the earliest first', () => {
    expect(keptAt([event(500, 'redosed'), event(120, 'removed', 'A1')], [0, 119, 120, 400])).toEqual([0, 119]);
    expect(keptAt([event(120, 'removed', 'A2')], [0, 120])).toEqual([0, 120]);
  });

  it('break a curve for three gaps between frames after shaking, the rack or the vial', () => {
    const times = [0, 99, 100, 220, 280, 281, 400];
    expect(keptAt([event(100, 'shaken')], times)).toEqual([0, 99, 281, 400]);
    expect(keptAt([event(100, 'shaken', 'A1')], times)).toEqual([0, 99, 281, 400]);
    expect(keptAt([event(100, 'shaken', 'A2')], times)).toEqual(times);
    expect(keptAt([event(100, 'lamp moved')], times)).toEqual(times);
  });
});
