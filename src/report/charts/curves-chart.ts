import { timeAxis, type ChartRun, type TimeAxis } from '../chart-data.ts';
import { formatDuration } from '../duration.ts';
import { formatTime, formatWithError } from '../round.ts';
import { modelWords, roleWords } from '../words.ts';
import { alignedGroups, namesOf, type PanelVial } from './aligned-vials.ts';
import { curvePanel } from './curve-panel.ts';
import { ringIcon } from './legend-icons.ts';
import { curveLegend, legendBody, runLegend } from './legend.ts';
import { outcomeMark } from './marks.ts';
import { element, text, textSize, type Drawing } from './svg.ts';
import { fitText, textWidth } from './text-width.ts';
import type { ChartTheme } from './theme.ts';

export const panelSize = { width: 280, height: 196 };
const gap = 16;

/** One vial's panel with its title: what it is, its extent at the reading time, how it moves. */
export function curveDrawing(member: PanelVial, axis: TimeAxis, theme: ChartTheme): Drawing {
  const { vial, run } = member;
  const { region, label, role, fit, extent } = vial.result;
  const mark = vial.sample === null ? '' : outcomeMark(vial.sample.outcome, 6, 8, theme);
  const nameX = vial.sample === null ? 0 : 18;
  const labelX = nameX + textWidth(region, true) + 5;
  const roleText = vial.sample === null ? roleWords[role] : vial.sample.outcome;
  const room = panelSize.width - labelX - textWidth(roleText) - 8;
  const atRead = `${formatWithError(extent.at_read)} at ${formatDuration(run.result.run.read_at_s)}`;
  const moves = fit.model === null ? `no fit: ${fit.reason ?? 'unknown'}` : modelWords[fit.model];
  return {
    ...panelSize,
    description: `${region} ${label}, ${roleText}: extent ${atRead}; ${moves}; onset ${formatTime(vial.result.onset_s)}; half-time ${formatTime(fit.half_time_s)}.`,
    body: [
      mark,
      text(nameX, textSize, region, { fill: theme.ink, bold: true }),
      text(labelX, textSize, fitText(label, room), { fill: theme.ink }),
      text(panelSize.width, textSize, roleText, { fill: theme.soft, anchor: 'end' }),
      text(0, textSize + 17, fitText(`${formatWithError(extent.at_read)} · ${moves}`, panelSize.width), {
        fill: theme.soft,
      }),
      curvePanel([member], axis, panelSize, 42, theme),
    ].join(''),
  };
}

/** Panel of one liquid over several runs: its extents overlaid, told apart by the shapes of the runs. */
function overlaidDrawing(members: readonly PanelVial[], axis: TimeAxis, theme: ChartTheme): Drawing {
  const { label, role } = members[0]!.vial.result;
  const roleText = roleWords[role];
  const named = members.map(({ runNumber, vial }) => `${runNumber + 1} ${vial.result.region}`).join(' · ');
  return {
    ...panelSize,
    description: `${label}, ${roleText}, in ${members.length} vials: ${named}.`,
    body: [
      text(0, textSize, fitText(label, panelSize.width - textWidth(roleText) - 8), { fill: theme.ink, bold: true }),
      text(panelSize.width, textSize, roleText, { fill: theme.soft, anchor: 'end' }),
      text(0, textSize + 17, fitText(named, panelSize.width), { fill: theme.soft }),
      curvePanel(members, axis, panelSize, 42, theme),
    ].join(''),
  };
}

/** All vials as small multiples on one scale, with the key; of several runs one panel a role and label. */
export function curvesChart(
  runs: readonly ChartRun[],
  columns: number,
  theme: ChartTheme,
  kind: TimeAxis['kind'] = 'linear',
): Drawing {
  const axis = timeAxis(runs, kind);
  const groups = alignedGroups(runs);
  const across = Math.min(columns, Math.max(1, groups.length));
  const width = across * panelSize.width + (across - 1) * gap;
  const several = runs.length > 1;
  const axisWords = `extent (fraction converted) against time since dosing${kind === 'log' ? ' (logarithmic)' : ''}`;
  const names = namesOf(runs);
  const inOne = textWidth(`${names}: ${axisWords}`, true) <= width;
  const titles = inOne ? [`${names}: ${axisWords}`] : [fitText(names, width / 1.1), axisWords];
  const head = 12 + 18 * titles.length;
  const panels = groups.map((members, index) => {
    const x = (index % across) * (panelSize.width + gap);
    const y = head + Math.floor(index / across) * (panelSize.height + gap);
    const drawing = several ? overlaidDrawing(members, axis, theme) : curveDrawing(members[0]!, axis, theme);
    return element('g', { transform: `translate(${x} ${y})` }, drawing.body);
  });
  const below = head + Math.ceil(groups.length / across) * (panelSize.height + gap);
  const items = several
    ? [...runLegend(runs, theme), { icon: ringIcon(theme), words: 'half-time, 95 %' }]
    : [
        ...curveLegend(runs[0]!, theme),
        { icon: '', words: 'under each name: extent at the reading time ± standard error, model' },
      ];
  const key = legendBody(items, width, theme);
  return {
    width,
    height: below + key.height,
    description: `Extent against time since dosing of ${groups.flat().length} vials of ${namesOf(runs)}.`,
    body: [
      ...titles.map((title, index) => text(0, textSize + 18 * index, title, { fill: theme.ink, bold: true })),
      ...panels,
      element('g', { transform: `translate(0 ${below})` }, key.body),
    ].join(''),
  };
}
