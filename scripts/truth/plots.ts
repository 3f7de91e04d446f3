import { scaleLinear } from 'd3-scale';
import { element, line, text, textSize } from '../../src/report/charts/svg.ts';
import { printTheme } from '../../src/report/charts/theme.ts';
import { margin } from './racks.ts';
import type { RunScore } from './score.ts';
import { clusteredShare } from './statistics.ts';

interface Axis {
  readonly label: string;
  readonly domain: readonly [number, number];
  readonly ticks: readonly number[];
}

const size = { width: 560, height: 320, left: 76, right: 24, top: 34, bottom: 52 };

/** Frame, axes with ticks, title; `marks` draws inside, with both scales. */
function plot(
  title: string,
  x: Axis,
  y: Axis,
  marks: (x: (value: number) => number, y: (value: number) => number) => string,
): string {
  const across = scaleLinear([...x.domain], [size.left, size.width - size.right]);
  const up = scaleLinear([...y.domain], [size.height - size.bottom, size.top]);
  const { ink, soft, rule, hair } = printTheme;
  const floor = size.height - size.bottom;
  const body = [
    element('rect', { width: size.width, height: size.height, fill: '#ffffff' }),
    text(size.left, 20, title, { fill: ink, bold: true }),
    ...y.ticks.flatMap((tick) => [
      line(size.left, up(tick), size.width - size.right, up(tick), tick === 0 ? rule : hair),
      text(size.left - 8, up(tick) + 4, String(tick), { fill: soft, anchor: 'end' }),
    ]),
    ...x.ticks.map((tick) => text(across(tick), floor + 18, String(tick), { fill: soft, anchor: 'middle' })),
    line(size.left, floor, size.width - size.right, floor, rule),
    text((size.left + size.width - size.right) / 2, size.height - 12, x.label, { fill: ink, anchor: 'middle' }),
    text(18, (size.top + floor) / 2, y.label, { fill: ink, anchor: 'middle', rotate: -90 }),
    marks(across, up),
  ].join('\n');
  const font = "system-ui, 'Segoe UI', Arial, 'DejaVu Sans', sans-serif";
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${size.width} ${size.height}" width="${size.width}" height="${size.height}" font-family="${font}" font-size="${textSize}">\n${body}\n</svg>\n`;
}

/** Mean error of extent by tenth of true extent, with one standard deviation either way; usual racks and mixtures. */
export function biasPlot(scores: readonly RunScore[]): string {
  const of = (rack: string): readonly { at: number; mean: number; sd: number }[] =>
    Array.from({ length: 10 }, (_, tenth) => {
      const bins = scores.filter((score) => score.rack === rack).map(({ tenths }) => tenths[tenth]!);
      const total = (key: 'count' | 'sum' | 'squares'): number => bins.reduce((sum, bin) => sum + bin[key], 0);
      const mean = total('sum') / total('count');
      return {
        at: (tenth + 0.5) / 10,
        mean,
        sd: Math.sqrt(Math.max(0, total('squares') / total('count') - mean ** 2)),
      };
    }).filter(({ mean }) => Number.isFinite(mean));
  const x = { label: 'true extent', domain: [0, 1], ticks: [0, 0.25, 0.5, 0.75, 1] } as const;
  const y = { label: 'error of extent', domain: [-0.06, 0.06], ticks: [-0.05, -0.025, 0, 0.025, 0.05] } as const;
  return plot('Error of extent: mean and standard deviation', x, y, (across, up) =>
    [
      ...of('usual').map(({ at, mean, sd }) => whisker(across(at - 0.012), up, mean, sd, true)),
      ...of('mixtures').map(({ at, mean, sd }) => whisker(across(at + 0.012), up, mean, sd, false)),
      key(size.top, 'usual rack', 'with three mixtures'),
    ].join('\n'),
  );
}

/** Share called `reacted` against true difference, with one standard error. */
export function powerPlot(scores: readonly RunScore[]): string {
  const edges = [0, 0.03, 0.04, 0.05, 0.0575, 0.065, 0.08, 0.1, 0.125, 0.15, 0.2, 0.25];
  const bins = edges.slice(1).flatMap((to, index) => {
    const from = edges[index]!;
    const runs = scores.map(({ samples }) =>
      samples.filter(({ difference }) => difference >= from && difference < to).map(({ outcome }) => outcome),
    );
    const reacted = clusteredShare(runs.map((run) => run.map((outcome) => outcome === 'reacted')));
    const resisted = clusteredShare(runs.map((run) => run.map((outcome) => outcome === 'resisted')));
    return reacted.of === 0 ? [] : [{ at: (from + to) / 2, reacted, resisted }];
  });
  const x = {
    label: 'true difference from the negatives at the reading time',
    domain: [0, 0.25],
    ticks: [0, 0.05, 0.1, 0.15, 0.2, 0.25],
  } as const;
  const y = { label: 'share', domain: [0, 1], ticks: [0, 0.25, 0.5, 0.75, 1] } as const;
  return plot(`Called reacted, called resisted (margin ${margin})`, x, y, (across, up) =>
    [
      line(across(margin), up(0), across(margin), up(1), printTheme.rule, { 'stroke-dasharray': '4 3' }),
      ...bins.map(({ at, reacted }) => whisker(across(at), up, reacted.hits / reacted.of, reacted.se ?? 0, true)),
      ...bins.map(({ at, resisted }) => whisker(across(at), up, resisted.hits / resisted.of, resisted.se ?? 0, false)),
      key(size.top + 90, 'reacted', 'resisted'),
    ].join('\n'),
  );
}

/** Errors of first-order constants, sorted: their distribution function. */
export function ratePlot(scores: readonly RunScore[]): string {
  const x = {
    label: 'relative error of the constant, %',
    domain: [-15, 15],
    ticks: [-15, -10, -5, 0, 5, 10, 15],
  } as const;
  const y = { label: 'share of vials below', domain: [0, 1], ticks: [0, 0.25, 0.5, 0.75, 1] } as const;
  return plot('First-order constants', x, y, (across, up) => {
    const curve = (rack: string, dash: string | undefined): string => {
      const errors = scores
        .filter((score) => score.rack === rack)
        .flatMap(({ rates }) => rates.map(({ error }) => Math.max(-15, Math.min(15, 100 * error))))
        .sort((first, second) => first - second);
      const points = errors.map(
        (error, at) => `${across(error).toFixed(1)} ${up((at + 0.5) / errors.length).toFixed(1)}`,
      );
      return element('path', {
        d: `M${points.join('L')}`,
        fill: 'none',
        stroke: printTheme.ink,
        'stroke-width': 1.5,
        'stroke-dasharray': dash,
      });
    };
    const [left, label] = [size.left + 12, printTheme.soft];
    return [
      line(across(0), up(0), across(0), up(1), printTheme.rule),
      curve('usual', undefined),
      curve('mixtures', '5 3'),
      text(left, size.top + 18, 'line: usual rack', { fill: label }),
      text(left, size.top + 36, 'dashes: three mixtures', { fill: label }),
    ].join('\n');
  });
}

function whisker(x: number, up: (value: number) => number, middle: number, half: number, filled: boolean): string {
  const { ink } = printTheme;
  return [
    line(x, up(middle - half), x, up(middle + half), ink),
    element('circle', { cx: x, cy: up(middle), r: 4, fill: filled ? ink : '#ffffff', stroke: ink }),
  ].join('');
}

/** What the filled and the open circles stand for, on the right from `top` down. */
function key(top: number, filled: string, open: string): string {
  const x = size.width - size.right - 150;
  const { ink, soft } = printTheme;
  return [
    element('circle', { cx: x, cy: top + 12, r: 4, fill: ink, stroke: ink }),
    text(x + 10, top + 16, filled, { fill: soft }),
    element('circle', { cx: x, cy: top + 30, r: 4, fill: '#ffffff', stroke: ink }),
    text(x + 10, top + 34, open, { fill: soft }),
  ].join('');
}
