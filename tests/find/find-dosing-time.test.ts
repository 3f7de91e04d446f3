import { describe, expect, it } from 'vitest';
import { findDosingTime } from '../../src/find/find-dosing-time.ts';

const empty = [0.6, 0.6, 0.58] as const;
const orange = [0.6, 0.25, 0.01] as const;
const green = [0.08, 0.16, 0.12] as const;
const times = Array.from({ length: 20 }, (_, index) => index * 30);
const columns = (
  of: (frame: number) => readonly [number, number, number] | null,
): Parameters<typeof findDosingTime>[1] => {
  const column = (channel: number): (number | null)[] => times.map((_, frame) => of(frame)?.[channel] ?? null);
  return { red: column(0), green: column(1), blue: column(2) };
};

describe('findDosingTime', () => {
  it('is the middle of the gap in which the liquid turned reagent-coloured, uniform in between', () => {
    expect(
      findDosingTime(
        times,
        columns((frame) => (frame < 6 ? empty : orange)),
      ),
    ).toEqual({ status: 'found', addedRunS: 165, u: 30 / Math.sqrt(12) });
  });

  it('passes over a pipette and widens over unread frames', () => {
    const found = findDosingTime(
      times,
      columns((frame) => (frame === 2 ? orange : frame < 6 ? empty : frame < 8 ? null : orange)),
    );
    expect(found).toEqual({ status: 'found', addedRunS: (150 + 240) / 2, u: 90 / Math.sqrt(12) });
  });

  it('asks for the time of a vial that was full before the film, empty throughout, green at once, or unread', () => {
    expect(
      findDosingTime(
        times,
        columns(() => orange),
      ).status,
    ).toBe('before-first-frame');
    expect(
      findDosingTime(
        times,
        columns(() => empty),
      ).status,
    ).toBe('not-seen');
    expect(
      findDosingTime(
        times,
        columns((frame) => (frame < 6 ? empty : green)),
      ).status,
    ).toBe('not-seen');
    expect(
      findDosingTime(
        times,
        columns(() => null),
      ).status,
    ).toBe('not-seen');
  });
});
