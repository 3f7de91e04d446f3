import { extent as extentOf } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import type { ChartRun, ChartVial, TimeAxis } from '../chart-data.ts';
import { formatFixed } from '../round.ts';
import { roleWords } from '../words.ts';
import { coordinate as c, element, line, text, textSize, type Drawing } from './svg.ts';
import { fitText, textWidth } from './text-width.ts';
import type { ChartTheme } from './theme.ts';
import { timeScale } from './time-ticks.ts';

const width = 280;
const height = 150;
const top = 24;
const bottom = height - 18;
const plane = { left: 34, right: 34 + (bottom - top) };
const hue = { left: plane.right + 38, right: width - 10 };

/** Scales shared by the hue panels of a run. */
export interface HueScales {
  readonly a: readonly [number, number];
  readonly b: readonly [number, number];
  readonly hueDeg: readonly [number, number];
  readonly axis: TimeAxis;
}

/** OKLab a and b, one after the other. */
type Way = readonly (readonly [number, number])[];

/** One span for a and b, so that angles in the plane are true. */
export function hueScales(run: ChartRun, paths: Way, axis: TimeAxis): HueScales {
  const points = [...paths, ...run.vials.flatMap(({ course }) => course.ab)];
  const hues = run.vials.flatMap(({ course }) => course.hueDeg).filter((value) => value !== null);
  const [aLow = 0, aHigh = 0] = numbers(points.map(([a]) => a));
  const [bLow = 0, bHigh = 0] = numbers(points.map(([, b]) => b));
  const half = Math.max(0.02, aHigh - aLow, bHigh - bLow) * 0.56;
  const [low = 0, high = 180] = numbers(hues);
  return {
    a: [(aLow + aHigh) / 2 - half, (aLow + aHigh) / 2 + half],
    b: [(bLow + bHigh) / 2 - half, (bLow + bHigh) / 2 + half],
    hueDeg: [Math.floor((low - 5) / 10) * 10, Math.ceil((high + 5) / 10) * 10],
    axis,
  };
}

const numbers = (values: readonly number[]): readonly number[] =>
  extentOf(values).filter((value) => value !== undefined);

/** A vial's way through the OKLab plane over the run's path (extent 0 to 1), and its hue against time. */
export function huePanel(vial: ChartVial, path: Way, scales: HueScales, theme: ChartTheme): Drawing {
  const { region, label, role, hue: said } = vial.result;
  const labelX = textWidth(region, true) + 5;
  const degrees = (value: number | null): string => (value === null ? 'no hue' : `${formatFixed(value, 0)}°`);
  return {
    width,
    height,
    description: `${region} ${label}, ${roleWords[role]}: hue from ${degrees(said.first_deg)} to ${degrees(said.last_deg)}.`,
    body: [
      text(0, textSize, region, { fill: theme.ink, bold: true }),
      text(labelX, textSize, fitText(label, width - labelX), { fill: theme.ink }),
      planePlot(vial, path, scales, theme),
      huePlot(vial, scales, theme),
    ].join(''),
  };
}

/** One decimal where that tells the tick apart, else two. */
function tickText(at: number): string {
  if (at === 0) return '0';
  return formatFixed(at, Math.abs(at * 10 - Math.round(at * 10)) < 1e-9 ? 1 : 2);
}

function planePlot({ course }: ChartVial, path: Way, scales: HueScales, theme: ChartTheme): string {
  const x = scaleLinear(scales.a, [plane.left, plane.right]);
  const y = scaleLinear(scales.b, [bottom, top]);
  const track = path.map(([a, b], index) => `${index === 0 ? 'M' : 'L'}${c(x(a))} ${c(y(b))}`).join('');
  const every = Math.max(1, Math.ceil(course.ab.length / 60));
  const dots = course.ab.map(([a, b], index) =>
    index % every === 0 ? element('circle', { cx: x(a), cy: y(b), r: 2.4, fill: course.colour[index]! }) : '',
  );
  const end = course.ab.at(-1);
  const xTicks = x.ticks(2).map((at) => text(x(at), bottom + 14, tickText(at), { fill: theme.soft, anchor: 'middle' }));
  const yTicks = y
    .ticks(2)
    .map((at) => text(plane.left - 4, y(at) + 4, tickText(at), { fill: theme.soft, anchor: 'end' }));
  return [
    element('rect', {
      x: plane.left,
      y: top,
      width: plane.right - plane.left,
      height: bottom - top,
      fill: 'none',
      stroke: theme.hair,
    }),
    element('path', { d: track, fill: 'none', stroke: theme.rule, 'stroke-width': 1.25 }),
    ...dots,
    end === undefined
      ? ''
      : element('circle', {
          cx: x(end[0]),
          cy: y(end[1]),
          r: 4,
          fill: 'none',
          stroke: theme.ink,
          'stroke-width': 1.25,
        }),
    ...xTicks,
    ...yTicks,
    text(plane.right - 3, bottom - 4, 'a', { fill: theme.soft, anchor: 'end' }),
    text(plane.left + 4, top + 11, 'b', { fill: theme.soft }),
  ].join('');
}

function huePlot({ course }: ChartVial, scales: HueScales, theme: ChartTheme): string {
  const time = timeScale(scales.axis, [hue.left, hue.right], 2);
  const y = scaleLinear(scales.hueDeg, [bottom, top]).clamp(true);
  const every = Math.max(1, Math.ceil(course.timeS.length / 75));
  const dots = course.hueDeg.map((value, index) =>
    value === null || index % every !== 0 || course.timeS[index]! < 0
      ? ''
      : element('circle', { cx: time.position(course.timeS[index]!), cy: y(value), r: 2, fill: course.colour[index]! }),
  );
  const levels = y
    .ticks(3)
    .map(
      (at) =>
        line(hue.left, y(at), hue.right, y(at), theme.hair) +
        text(hue.left - 4, y(at) + 4, `${at}°`, { fill: theme.soft, anchor: 'end' }),
    );
  const times = time.ticks.map(({ at, label }) =>
    text(Math.min(time.position(at), width - 10), bottom + 14, label, { fill: theme.soft, anchor: 'middle' }),
  );
  return [
    ...levels,
    ...times,
    element('path', { d: `M${hue.left} ${top}V${bottom}H${hue.right}`, fill: 'none', stroke: theme.rule }),
    ...dots,
  ].join('');
}
