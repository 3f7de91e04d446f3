import { timeAxis, type ChartRun, type TimeAxis } from '../chart-data.ts';
import { formatDuration } from '../duration.ts';
import { formatTime, formatWithError } from '../round.ts';
import { modelWords, roleWords } from '../words.ts';
import { curvePanel, type PanelVial } from './curve-panel.ts';
import { curveLegend, legendBody } from './legend.ts';
import { outcomeMark } from './marks.ts';
import { byRole } from './rate-chart.ts';
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
      text(0, textSize + 17, fitText(`${formatWithError(extent.at_read)} when read · ${moves}`, panelSize.width), {
        fill: theme.soft,
      }),
      curvePanel([member], axis, panelSize, 42, theme),
    ].join(''),
  };
}

/** All vials of a run as small multiples on one scale, with the key. */
export function curvesChart(
  run: ChartRun,
  columns: number,
  theme: ChartTheme,
  kind: TimeAxis['kind'] = 'linear',
): Drawing {
  const axis = timeAxis([run], kind);
  const width = columns * panelSize.width + (columns - 1) * gap;
  const vials = byRole(run.vials);
  const head = 30;
  const panels = vials.map((vial, index) => {
    const x = (index % columns) * (panelSize.width + gap);
    const y = head + Math.floor(index / columns) * (panelSize.height + gap);
    return element(
      'g',
      { transform: `translate(${x} ${y})` },
      curveDrawing({ run, runNumber: 0, vial }, axis, theme).body,
    );
  });
  const below = head + Math.ceil(vials.length / columns) * (panelSize.height + gap);
  const key = legendBody(curveLegend(theme), width, theme);
  const unit = axis.kind === 'log' ? ' (logarithmic)' : '';
  return {
    width,
    height: below + key.height,
    description: `Extent against time since dosing of the ${vials.length} vials of ${run.result.run.name}.`,
    body: [
      text(0, textSize, `${run.result.run.name}: extent (fraction converted) against time since dosing${unit}`, {
        fill: theme.ink,
        bold: true,
      }),
      ...panels,
      element('g', { transform: `translate(0 ${below})` }, key.body),
    ].join(''),
  };
}
