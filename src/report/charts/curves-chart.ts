import { timeAxis, type ChartRun, type TimeAxis } from '../chart-data.ts';
import { alignedGroups, namesOf } from './aligned-vials.ts';
import { curveDrawing, overlaidDrawing } from './curve-drawing.ts';
import { ringIcon } from './legend-icons.ts';
import { bandItems, curveLegend, legendBody, runLegend } from './legend.ts';
import { element, text, textSize, type Drawing } from './svg.ts';
import { wrapText } from './text-width.ts';
import type { ChartTheme } from './theme.ts';
import { timeScale } from './time-ticks.ts';

const gap = 16;
/** Room for the title of the extent axis. */
const left = 20;
/** Room for the title of the time axis. */
const below = 20;
/** Narrower than this a panel holds no title of its own (chosen). */
const leastPanel = 230;

/** All vials as small multiples on one scale, with the key; of several runs one panel a role and label. */
export function curvesChart(
  runs: readonly ChartRun[],
  width: number,
  theme: ChartTheme,
  kind: TimeAxis['kind'] = 'linear',
): Drawing {
  const axis = timeAxis(runs, kind);
  const groups = alignedGroups(runs);
  const fitting = Math.floor((width - left + gap) / (leastPanel + gap));
  const across = Math.max(1, Math.min(fitting, groups.length));
  const panelWidth = (width - left - (across - 1) * gap) / across;
  const size = { width: panelWidth, height: Math.min(400, 60 + 0.49 * panelWidth) };
  const several = runs.length > 1;
  const names = namesOf(runs);
  const titles = wrapText(`${names}: extent (fraction converted) against time since dosing`, width, true);
  const head = 12 + 18 * titles.length;
  const timeTitle = timeScale(axis, [0, 1], 5).title;
  const panels = groups.map((members, index) => {
    const x = left + (index % across) * (size.width + gap);
    const y = head + Math.floor(index / across) * (size.height + gap);
    const drawing = several
      ? overlaidDrawing(members, axis, theme, size)
      : curveDrawing(members[0]!, axis, theme, size);
    const middle = (42 + size.height - 18) / 2;
    const extentTitle = text(-8, middle, 'extent', { fill: theme.soft, anchor: 'middle', rotate: -90 });
    const title = text(size.width / 2 + 8, size.height + 15, timeTitle, { fill: theme.soft, anchor: 'middle' });
    return element(
      'g',
      { transform: `translate(${x} ${y})` },
      drawing.body + (index % across === 0 ? extentTitle : '') + (index + across >= groups.length ? title : ''),
    );
  });
  const bottom = head + Math.ceil(groups.length / across) * (size.height + gap) + below;
  const items = several
    ? [...runLegend(runs, theme), ...bandItems(runs, theme), { icon: ringIcon(theme), words: 'half-time, 95 %' }]
    : [
        ...curveLegend(runs[0]!, theme),
        { icon: '', words: 'under each name: extent at the reading time ± standard error, model' },
      ];
  const key = legendBody(items, width, theme);
  return {
    width,
    height: bottom + key.height,
    description: `Extent against time since dosing of ${groups.flat().length} vials of ${names}.`,
    body: [
      ...titles.map((title, index) => text(0, textSize + 18 * index, title, { fill: theme.ink, bold: true })),
      ...panels,
      element('g', { transform: `translate(0 ${bottom})` }, key.body),
    ].join(''),
  };
}
