import { scaleLinear, scaleLog } from 'd3-scale';
import type { TimeAxis } from '../chart-data.ts';
import { timeUnit } from '../duration.ts';

export interface Tick {
  readonly at: number;
  readonly label: string;
}

export interface TimeScale {
  /** Position of a time in seconds; held at the ends of the axis. */
  readonly position: (seconds: number) => number;
  readonly ticks: readonly Tick[];
  readonly title: string;
}

const second = 1;
const minute = 60;
const hour = 3600;
/** In the order of their importance. */
const logSteps = [
  hour,
  minute,
  10 * minute,
  10 * hour,
  10,
  30 * minute,
  3 * hour,
  3 * minute,
  30,
  30 * hour,
  100 * hour,
  1,
  3,
];

/** Scale and ticks of a time axis; `roomFor` = number of labels that fit. The last label of a linear axis bears the unit. */
export function timeScale(axis: TimeAxis, range: readonly [number, number], roomFor: number): TimeScale {
  if (axis.kind === 'log') {
    const scale = scaleLog([axis.fromS, axis.toS], range).clamp(true);
    const inside = logSteps.filter((step) => step >= axis.fromS && step <= axis.toS);
    const apart = Math.abs(range[1] - range[0]) / (roomFor + 1);
    const ticks = inside
      .reduce<number[]>(
        (kept, step) => (kept.every((other) => Math.abs(scale(other) - scale(step)) >= apart) ? [...kept, step] : kept),
        [],
      )
      .sort((first, second) => first - second);
    return {
      position: scale,
      ticks: ticks.map((at) => ({ at, label: shortTime(at) })),
      title: 'time since dosing (logarithmic)',
    };
  }
  const unit = timeUnit(axis.toS - axis.fromS);
  const scale = scaleLinear([axis.fromS, axis.toS], range).clamp(true);
  const values = scaleLinear([axis.fromS / unit.divisor, axis.toS / unit.divisor], range).ticks(roomFor);
  const last = values.length - 1;
  return {
    position: scale,
    ticks: values.map((value, index) => ({
      at: value * unit.divisor,
      label: index === last ? `${value} ${unit.name}` : String(value),
    })),
    title: `time since dosing, ${unit.name}`,
  };
}

function shortTime(seconds: number): string {
  if (seconds >= hour) return `${seconds / hour} h`;
  return seconds >= minute ? `${seconds / minute} min` : `${seconds / second} s`;
}
