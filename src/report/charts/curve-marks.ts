import { bisectCenter } from 'd3-array';
import type { ResultTime } from '../../model/result.ts';
import type { ChartRun, ChartVial } from '../chart-data.ts';
import type { PanelVial } from './aligned-vials.ts';
import type { Frame } from './curve-panel.ts';
import { coordinate as c, element, line, text } from './svg.ts';
import { textWidth } from './text-width.ts';
import type { ChartTheme } from './theme.ts';

/** Reading time and window, onset, half-time and events on one panel; overlaid runs keep only the half-times. */
export function curveMarks({ run, vial }: PanelVial, frame: Frame, single: boolean): string {
  const { read_at_s } = run.result.run;
  const parts: string[] = [];
  if (single) {
    const window = run.result.reading_window;
    if (window !== null) parts.push(windowMark(window.from_s, window.to_s, frame));
    parts.push(readMark(read_at_s, frame), hurdleMark(run, frame));
    parts.push(eventMarks(vial, frame));
    const onset = vial.result.onset_s;
    if (onset !== null && onset.censored === 'none') parts.push(onsetMark(onset, frame));
  }
  const half = vial.result.fit.half_time_s;
  if (half !== null && half.censored === 'none') parts.push(halfTimeMark(half, frame));
  return parts.join('');
}

function whisker(time: ResultTime, y: number, frame: Frame): string {
  const [lower, upper] = time.ci95;
  const from = frame.time.position(lower ?? -Infinity);
  const to = frame.time.position(upper ?? Infinity);
  return line(from, y, to, y, frame.theme.ink, { 'stroke-width': 1.25 });
}

function onsetMark(time: ResultTime, frame: Frame): string {
  return whisker(time, frame.bottom, frame) + triangle(frame.time.position(time.value), frame.bottom, frame.theme);
}

function halfTimeMark(time: ResultTime, frame: Frame): string {
  const y = frame.extent(0.5);
  return whisker(time, y, frame) + ring(frame.time.position(time.value), y, frame.theme);
}

function readMark(seconds: number, frame: Frame): string {
  const x = frame.time.position(seconds);
  return line(x, frame.top, x, frame.bottom, frame.theme.ink);
}

/** At the reading time a bar where the decision falls: the mean of the negative references and the margin on top. */
function hurdleMark({ negatives, result: { run } }: ChartRun, frame: Frame): string {
  const mean = negatives?.mean[bisectCenter(negatives.timeS, run.read_at_s)];
  if (mean === undefined) return '';
  const x = frame.time.position(run.read_at_s);
  const y = frame.extent(mean + run.margin);
  return line(x - 8, y, x + 8, y, frame.theme.ink, { 'stroke-width': 2.5 });
}

function windowMark(fromS: number, toS: number, frame: Frame): string {
  const from = frame.time.position(fromS);
  return element('rect', {
    x: from,
    y: frame.top - 1.5,
    width: Math.max(1, frame.time.position(toS) - from),
    height: 3,
    fill: frame.theme.rule,
  });
}

/** A dotted line an event; its number stands above where there is room for it. */
function eventMarks({ events }: ChartVial, frame: Frame): string {
  const { theme, top, bottom } = frame;
  let taken = -Infinity;
  const seen = events.filter(({ timeS }) => timeS >= 0).sort((first, second) => first.timeS - second.timeS);
  return seen
    .map(({ number, timeS }) => {
      const x = frame.time.position(timeS);
      const half = textWidth(String(number)) / 2;
      const free = x - half >= taken + 2;
      if (free) taken = x + half;
      return (
        line(x, top + 14, x, bottom, theme.rule, { 'stroke-dasharray': '1 3' }) +
        (free ? text(x, top + 13, String(number), { fill: theme.soft, anchor: 'middle' }) : '')
      );
    })
    .join('');
}

export function triangle(x: number, y: number, theme: ChartTheme): string {
  return element('path', {
    d: `M${c(x)} ${c(y - 7)}L${c(x + 4.5)} ${c(y + 1)}H${c(x - 4.5)}z`,
    fill: theme.ink,
    stroke: theme.paper,
    'stroke-width': 0.75,
  });
}

export function ring(x: number, y: number, theme: ChartTheme): string {
  return element('circle', { cx: x, cy: y, r: 3.75, fill: theme.paper, stroke: theme.ink, 'stroke-width': 1.5 });
}
