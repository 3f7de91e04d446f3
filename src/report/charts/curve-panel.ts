import { scaleLinear } from 'd3-scale';
import { area, line as linePath } from 'd3-shape';
import type { Band, TimeAxis } from '../chart-data.ts';
import type { PanelVial } from './aligned-vials.ts';
import { curveMarks } from './curve-marks.ts';
import { runMark } from './marks.ts';
import { element, line, text } from './svg.ts';
import type { ChartTheme } from './theme.ts';
import { timeScale, type TimeScale } from './time-ticks.ts';

export interface PanelSize {
  readonly width: number;
  readonly height: number;
}

/** Plot area of a panel and its scales, shared with the marks drawn on it. */
export interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly time: TimeScale;
  readonly extent: (value: number) => number;
  readonly theme: ChartTheme;
}

/** Extent axis of every panel: a little beyond 0..1, because extents are never clipped. */
const extentDomain = [-0.08, 1.1] as const;

/** Extent against time of one vial, or of the same vial of several runs; the title is set by the caller. */
export function curvePanel(
  members: readonly PanelVial[],
  axis: TimeAxis,
  size: PanelSize,
  top: number,
  theme: ChartTheme,
): string {
  const frame = panelFrame(axis, size, top, theme);
  const single = members.length === 1 && members[0]?.runNumber === 0;
  const parts = [axes(frame)];
  for (const { run } of members.slice(0, 1)) {
    if (run.negatives !== null) parts.push(bandShape(run.negatives, frame, theme.faint));
  }
  for (const { vial } of members) {
    if (vial.fitted !== null) parts.push(bandShape(vial.fitted, frame, theme.band, single ? 1 : 0.5));
  }
  for (const { vial, runNumber } of members) {
    if (vial.fitted !== null) parts.push(meanLine(vial.fitted, frame, runNumber));
  }
  for (const member of members) parts.push(points(member, frame, single));
  for (const member of members) parts.push(curveMarks(member, frame, single));
  return parts.join('');
}

function panelFrame(axis: TimeAxis, size: PanelSize, top: number, theme: ChartTheme): Frame {
  const left = 28;
  const right = size.width - 12;
  const bottom = size.height - 18;
  return {
    left,
    right,
    top,
    bottom,
    time: timeScale(axis, [left, right], Math.max(2, Math.floor((right - left) / 44))),
    extent: scaleLinear(extentDomain, [bottom, top]),
    theme,
  };
}

function axes(frame: Frame): string {
  const { left, right, top, bottom, theme } = frame;
  const levels = [0, 0.5, 1].map((value) => {
    const y = frame.extent(value);
    return (
      line(left, y, right, y, theme.hair) + text(left - 5, y + 4, String(value), { fill: theme.soft, anchor: 'end' })
    );
  });
  const times = frame.time.ticks.map(({ at, label }, index) => {
    const x = frame.time.position(at);
    const anchor = index === frame.time.ticks.length - 1 && x > right - 14 ? 'end' : 'middle';
    return (
      line(x, bottom, x, bottom + 4, theme.rule) +
      text(anchor === 'end' ? Math.min(x + 8, right + 12) : x, bottom + 16, label, { fill: theme.soft, anchor })
    );
  });
  const box = element('path', {
    d: `M${left} ${top}V${bottom}H${right}`,
    fill: 'none',
    stroke: theme.rule,
  });
  return [...levels, ...times, box].join('');
}

function inside(band: Band, frame: Frame): readonly number[] {
  const [from, to] = [frame.time.position(-Infinity), frame.time.position(Infinity)];
  return band.timeS.flatMap((at, index) => {
    const x = frame.time.position(at);
    const repeated = index > 0 && x === frame.time.position(band.timeS[index - 1]!) && (x === from || x === to);
    return repeated || at < 0 ? [] : [index];
  });
}

function bandShape(band: Band, frame: Frame, fill: string, opacity = 1): string {
  const shape = area<number>()
    .x((index) => frame.time.position(band.timeS[index]!))
    .y0((index) => held(frame, band.lower[index]!))
    .y1((index) => held(frame, band.upper[index]!))
    .digits(1);
  return element('path', {
    d: shape(inside(band, frame)) ?? '',
    fill,
    'fill-opacity': opacity === 1 ? undefined : opacity,
  });
}

/** Line patterns that tell runs apart. */
const dashes = [undefined, '6 3', '2 3', '8 3 2 3'];

function meanLine(band: Band, frame: Frame, runNumber: number): string {
  const shape = linePath<number>()
    .x((index) => frame.time.position(band.timeS[index]!))
    .y((index) => held(frame, band.mean[index]!))
    .digits(1);
  return element('path', {
    d: shape(inside(band, frame)) ?? '',
    fill: 'none',
    stroke: frame.theme.ink,
    'stroke-width': 1.25,
    'stroke-dasharray': dashes[runNumber % dashes.length],
  });
}

function held(frame: Frame, extent: number): number {
  return frame.extent(Math.min(extentDomain[1], Math.max(extentDomain[0], extent)));
}

/** Least distance between two points drawn, so that the fitted line shows between them (chosen: a dot and a half). */
const pointGap = 7;

/** Coloured dots of a single run, shapes of overlaid ones. Points that stray from their neighbours are all kept. */
function points({ vial, runNumber }: PanelVial, frame: Frame, single: boolean): string {
  const { course } = vial;
  const gap = single ? pointGap : 4 * pointGap;
  let last: readonly [number, number] = [-Infinity, 0];
  return course.timeS
    .map((at, index) => {
      const x = frame.time.position(at);
      const y = held(frame, course.extent[index]!);
      if (at < 0 || Math.hypot(x - last[0], y - last[1]) < gap) return '';
      last = [x, y];
      const fill = course.colour[index]!;
      return single ? element('circle', { cx: x, cy: y, r: 2.4, fill }) : runMark(runNumber, x, y, frame.theme, fill);
    })
    .join('');
}
