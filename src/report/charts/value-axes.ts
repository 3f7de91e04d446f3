import { extent as extentOf } from 'd3-array';
import { scaleLog, scaleSymlog } from 'd3-scale';
import { formatFixed } from '../round.ts';
import type { ValueAxis } from './interval-rows.ts';
import type { Tick } from './time-ticks.ts';

type Ends = readonly [number | null, number | null];

/**
 * Axis of extent differences: linear within the margin and logarithmic beyond, so that both a bare excess over the
 * margin and a full reaction can be read.
 */
export function differenceAxis(values: readonly number[], margin: number, range: readonly [number, number]): ValueAxis {
  const [low, high] = extentOf(values);
  const domain = [Math.min(-1.5 * margin, low ?? 0), Math.max(4 * margin, high ?? 0)] as const;
  const position = scaleSymlog(domain, range).constant(margin).clamp(true);
  const candidates = [0, 1, -1, 0.1, 0.5, 0.2, 0.05, -0.05, -0.1, -0.5, 0.02, -0.2];
  return {
    position,
    range,
    domain,
    ticks: spread(
      candidates.filter((at) => at >= domain[0] && at <= domain[1]).map((at) => ({ at, label: plain(at) })),
      position,
      34,
    ),
    title: 'extent above the mean of the negative references (linear to the margin, then logarithmic)',
    lines: [
      { at: 0, label: '0', dashed: false },
      { at: margin, label: `margin ${plain(margin)}`, dashed: true },
    ],
  };
}

/**
 * Logarithmic axis of rates or ratios. Values and ends at or below zero have no place on it; an end far above all values
 * does not stretch it (it is drawn as an arrow).
 */
export function logAxis(
  values: readonly number[],
  ends: readonly Ends[],
  range: readonly [number, number],
  title: string,
  lines: ValueAxis['lines'],
): ValueAxis {
  const marks = [...values, ...lines.map(({ at }) => at)].filter((value) => value > 0);
  const positive = [...marks, ...ends.flat()].filter((value): value is number => value !== null && value > 0);
  const roomAbove = ends.some(([, upper]) => upper === null) ? 2 : 1.15;
  const roomBelow = ends.some(([lower]) => lower === null) ? 2 : 1.15;
  const highest = Math.max(...positive, 1e-12);
  const high = Math.min(highest, marks.length === 0 ? highest : 20 * Math.max(...marks)) * roomAbove;
  const low = Math.max(Math.min(...positive, high / 10) / roomBelow, high / 1e5);
  const position = scaleLog([low, high], range).clamp(true);
  const decades = Array.from({ length: 24 }, (_, index) => 10 ** (index - 14));
  const fine = decades.flatMap((decade) => [2 * decade, 5 * decade]);
  const inside = (at: number): boolean => at >= low && at <= high;
  const whole = decades.filter(inside);
  const ticks = (whole.length >= 3 ? whole : [...whole, ...fine.filter(inside)]).map((at) => ({
    at,
    label: plain(at),
  }));
  return { position, range, domain: [low, high], ticks: spread(ticks, position, 44), title, lines };
}

/** Keeps ticks in the order of their importance as long as their labels do not meet. */
function spread(ticks: readonly Tick[], position: (at: number) => number, room: number): readonly Tick[] {
  const kept: Tick[] = [];
  for (const tick of ticks) {
    if (kept.every((other) => Math.abs(position(other.at) - position(tick.at)) >= room)) kept.push(tick);
  }
  return kept.sort((first, second) => first.at - second.at);
}

function plain(value: number): string {
  return formatFixed(
    value,
    Math.max(0, Math.ceil(-Math.log10(Math.abs(value) || 1) - 1e-9)) + (isDigit(value) ? 0 : 1),
  );
}

function isDigit(value: number): boolean {
  const scaled = Math.abs(value) / 10 ** Math.floor(Math.log10(Math.abs(value) || 1) + 1e-9);
  return Math.abs(scaled - Math.round(scaled)) < 1e-6;
}
