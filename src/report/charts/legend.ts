import type { ChartRun } from '../chart-data.ts';
import { isolate } from '../isolate.ts';
import { runMark } from './marks.ts';
import { onsetMarkIcon, ringIcon } from './legend-icons.ts';
import { element, line, text } from './svg.ts';
import { textWidth, wrapText } from './text-width.ts';
import type { ChartTheme } from './theme.ts';

/** One entry of a key: a picture 26 wide and 14 high, and its words. */
export interface LegendItem {
  readonly icon: string;
  readonly words: string;
}

const iconWidth = 26;

/** What the marks of a run's curve panels mean; only what is drawn is explained. */
export function curveLegend(run: ChartRun, theme: ChartTheme): readonly LegendItem[] {
  const ink = theme.ink;
  const dots = [4, 10, 16, 22].map((x, index) =>
    element('circle', { cx: x, cy: 8 + (index % 2 === 0 ? 1.5 : -1.5), r: 2.4, fill: theme.rule }),
  );
  const { vials, negatives, result } = run;
  const items: readonly (LegendItem & { readonly drawn?: boolean })[] = [
    { icon: dots.join(''), words: 'frames, in the colour the camera saw' },
    ...bandItems([run], theme),
    { icon: onsetMarkIcon(theme), words: 'onset, 95 %' },
    { icon: ringIcon(theme), words: 'half-time, 95 %' },
    negatives === null
      ? { icon: line(13, 1, 13, 14, ink), words: 'reading time' }
      : {
          icon: line(13, 1, 13, 14, ink) + line(5, 10, 21, 10, ink, { 'stroke-width': 2.5 }),
          words: 'reading time; bar: negatives + margin',
        },
    {
      icon: element('rect', { x: 1, y: 6, width: 24, height: 3, fill: theme.rule }),
      words: 'reading window (exploratory)',
      drawn: result.reading_window !== null,
    },
    {
      icon: line(13, 1, 13, 14, theme.rule, { 'stroke-dasharray': '1 3' }),
      words: 'event, numbered',
      drawn: vials.some(({ events }) => events.length > 0),
    },
  ];
  return items.filter(({ drawn }) => drawn !== false);
}

/** The fitted line and the bands, where any is drawn; of several runs the negatives are the first one's. */
export function bandItems(runs: readonly ChartRun[], theme: ChartTheme): readonly LegendItem[] {
  const fitted = runs.some(({ vials }) => vials.some((vial) => vial.fitted !== null));
  const negatives = runs.some((run) => run.negatives !== null);
  const box = (fill: string): string => element('rect', { x: 1, y: 2, width: 24, height: 11, fill });
  return [
    ...(fitted
      ? [
          {
            icon: box(theme.band) + line(1, 7.5, 25, 7.5, theme.ink, { 'stroke-width': 1.25 }),
            words: 'fit and its 95 % band',
          },
        ]
      : []),
    ...(negatives ? [{ icon: box(theme.faint), words: 'negative references, 95 % band' }] : []),
  ];
}

/** Which run a number and a shape stand for; empty for a single run. */
export function runLegend(runs: readonly ChartRun[], theme: ChartTheme): readonly LegendItem[] {
  if (runs.length < 2) return [];
  return runs.map(({ result }, number) => ({
    icon: runMark(number, 13, 7.5, theme),
    words: `${number + 1} ${isolate(result.run.name)}`,
  }));
}

/** Which run a number in front of a name stands for; empty for a single run. */
export function runNumbers(runs: readonly ChartRun[], theme: ChartTheme): readonly LegendItem[] {
  if (runs.length < 2) return [];
  return runs.map(({ result }, number) => ({
    icon: text(13, 12, String(number + 1), { fill: theme.ink, bold: true, anchor: 'middle' }),
    words: result.run.name,
  }));
}

/** A key as running lines of a given width; `height` is what it takes. */
export function legendBody(
  items: readonly LegendItem[],
  width: number,
  theme: ChartTheme,
): { readonly body: string; readonly height: number } {
  let x = 0;
  let y = 0;
  const parts: string[] = [];
  for (const { icon, words } of items) {
    const from = icon === '' ? 0 : iconWidth + 6;
    const lines = wrapText(words, width - from);
    const needed = from + Math.max(...lines.map((words) => textWidth(words)));
    if (x > 0 && x + needed > width) {
      x = 0;
      y += 20;
    }
    if (icon !== '') parts.push(element('g', { transform: `translate(${x} ${y})` }, icon));
    lines.forEach((said, index) => parts.push(text(x + from, y + 12 + 17 * index, said, { fill: theme.soft })));
    x += needed + 18;
    y += 17 * (lines.length - 1);
  }
  return { body: parts.join(''), height: y + 20 };
}
