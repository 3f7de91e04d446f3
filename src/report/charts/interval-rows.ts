import { legendBody, type LegendItem } from './legend.ts';
import { interval } from './marks.ts';
import { element, line, text, textSize, type Drawing } from './svg.ts';
import { fitText, textWidth, wrapText } from './text-width.ts';
import type { ChartTheme } from './theme.ts';
import type { Tick } from './time-ticks.ts';

/** One interval on a common axis. */
export interface IntervalRow {
  /** Vials or reference, set bold before the label. */
  readonly name: string;
  readonly label: string;
  /** `null`: nothing to draw; `said` tells why. */
  readonly value: number | null;
  readonly ends: readonly [number | null, number | null];
  /** One-sided bound, drawn as a longer stroke; `null` without. */
  readonly bound: number | null;
  readonly said: string;
  /** Draws the mark at the value. */
  readonly mark: (x: number, y: number) => string;
}

export interface ValueAxis {
  readonly position: (value: number) => number;
  readonly range: readonly [number, number];
  /** Values at the ends of the axis; an interval beyond them ends in an arrow. */
  readonly domain: readonly [number, number];
  readonly ticks: readonly Tick[];
  readonly title: string;
  /** Lines across all rows, such as the margin. */
  readonly lines: readonly { readonly at: number; readonly label: string; readonly dashed: boolean }[];
}

/** The interval of one row between `top` and `bottom`, with the axis' lines behind it. */
export function intervalBody(
  row: IntervalRow,
  axis: ValueAxis,
  top: number,
  bottom: number,
  theme: ChartTheme,
): string {
  const y = (top + bottom) / 2;
  const place = (value: number | null): number | null => (value === null ? null : axis.position(value));
  const lines = axis.lines.map(({ at, dashed }) => {
    const x = axis.position(at);
    return line(x, top, x, bottom, dashed ? theme.ink : theme.rule, dashed ? { 'stroke-dasharray': '4 3' } : {});
  });
  if (row.value === null) return lines.join('');
  const bound = place(row.bound);
  const [low, high] = row.ends;
  const ends = [
    low === null || low < axis.domain[0] ? null : axis.position(low),
    high === null || high > axis.domain[1] ? null : axis.position(high),
  ] as const;
  return [
    ...lines,
    interval(ends, y, axis.range, theme),
    bound === null ? '' : line(axis.position(row.value), y, bound, y, theme.ink, { 'stroke-width': 0.75 }),
    bound === null ? '' : line(bound, y - 7, bound, y + 7, theme.ink, { 'stroke-width': 2.5 }),
    row.mark(axis.position(row.value), y),
  ].join('');
}

/** The axis under the rows: rule, ticks, labels; the title stands one line lower. */
export function axisBody(axis: ValueAxis, y: number, theme: ChartTheme): string {
  const [from, to] = axis.range;
  const ticks = axis.ticks.map(({ at, label }) => {
    const x = axis.position(at);
    return line(x, y, x, y + 4, theme.rule) + text(x, y + 16, label, { fill: theme.soft, anchor: 'middle' });
  });
  return line(from, y, to, y, theme.rule) + ticks.join('');
}

export interface RowsLayout {
  readonly width: number;
  readonly labelWidth: number;
  readonly saidWidth: number;
}

/** Room for a line of text and its interval; less where a whole rack of rows is to stay on one page. */
const rowHeightOf = (rows: number): number => (rows > 16 ? 18 : 22);
const headHeight = 34;
const lineHeight = 17;

/** Room for what the rows say, at least that of a plain number with its error. */
export function saidWidthOf(rows: readonly IntervalRow[]): number {
  return Math.max(112, ...rows.map(({ said }) => textWidth(said) + 4));
}

/** Room for the names and labels of rows, no more than the longest takes and no more than `most`. */
export function labelWidthOf(rows: readonly IntervalRow[], most: number): number {
  const widths = rows.map(({ name, label }) => textWidth(name, true) + 6 + textWidth(label) + 6);
  return Math.min(most, Math.max(0, ...widths));
}

/** Position range of the plot inside a chart of that layout. */
export function plotRange(layout: RowsLayout): readonly [number, number] {
  return [layout.labelWidth + 8, layout.width - layout.saidWidth - 12];
}

/** What the lines across all rows mean, above them; one that would meet the one before it moves to the right. */
function lineHeads(axis: ValueAxis, y: number, theme: ChartTheme): readonly string[] {
  let taken = -Infinity;
  return axis.lines
    .filter(({ label }) => label !== '')
    .map(({ at, label }) => {
      const half = textWidth(label) / 2;
      const x = Math.max(axis.position(at), taken + 4 + half);
      taken = x + half;
      return text(x, y, label, { fill: theme.soft, anchor: 'middle' });
    });
}

/** A whole chart of intervals: names on the left, what they say on the right, the axis below. */
export function intervalChart(
  rows: readonly IntervalRow[],
  axis: ValueAxis,
  layout: RowsLayout,
  heading: { readonly title: string; readonly said: string; readonly note: string; readonly description: string },
  theme: ChartTheme,
  key: readonly LegendItem[] = [],
): Drawing {
  const rowHeight = rowHeightOf(rows.length);
  const titles = wrapText(heading.title, layout.width - textWidth(heading.said) - 12, true);
  const head = headHeight + lineHeight * (titles.length - 1);
  const bottom = head + rows.length * rowHeight;
  const body = rows.map((row, index) => {
    const top = head + index * rowHeight;
    const nameWidth = textWidth(row.name, true);
    const baseline = top + rowHeight / 2 + 4;
    return [
      index === 0 ? '' : line(0, top, layout.width, top, theme.hair),
      text(0, baseline, row.name, { fill: theme.ink, bold: true }),
      element(
        'g',
        {},
        text(nameWidth + 6, baseline, fitText(row.label, layout.labelWidth - nameWidth - 6), { fill: theme.ink }),
      ),
      intervalBody(row, axis, top, top + rowHeight, theme),
      text(layout.width, baseline, row.said, { fill: theme.ink, anchor: 'end' }),
    ].join('');
  });
  const middle = (axis.range[0] + axis.range[1]) / 2;
  const axisTitles = wrapText(axis.title, 2 * Math.min(middle, layout.width - middle));
  const notes = wrapText(heading.note, layout.width);
  const noteY = bottom + 40 + textSize * 1.5 + lineHeight * (axisTitles.length - 1);
  const legend = legendBody(key, layout.width, theme);
  const legendHeight = key.length === 0 ? 0 : legend.height + 6;
  return {
    width: layout.width,
    height: noteY + 6 + lineHeight * (notes.length - 1) + legendHeight,
    description: heading.description,
    body: [
      ...titles.map((title, at) => text(0, textSize + lineHeight * at, title, { fill: theme.ink, bold: true })),
      text(layout.width, textSize, heading.said, { fill: theme.soft, anchor: 'end' }),
      ...lineHeads(axis, head - 5, theme),
      ...body,
      axisBody(axis, bottom, theme),
      ...axisTitles.map((title, at) =>
        text(middle, bottom + 34 + lineHeight * at, title, { fill: theme.soft, anchor: 'middle' }),
      ),
      ...notes.map((note, at) => text(0, noteY + lineHeight * at, note, { fill: theme.soft })),
      key.length === 0
        ? ''
        : element('g', { transform: `translate(0 ${noteY + 10 + lineHeight * (notes.length - 1)})` }, legend.body),
    ].join(''),
  };
}
