import type { TimeAxis } from '../chart-data.ts';
import { formatDuration } from '../duration.ts';
import { formatTime, formatWithError } from '../round.ts';
import { modelWords, roleWords } from '../words.ts';
import type { PanelVial } from './aligned-vials.ts';
import { curvePanel, type PanelSize } from './curve-panel.ts';
import { outcomeMark } from './marks.ts';
import { text, textSize, type Drawing } from './svg.ts';
import { fitText, textWidth } from './text-width.ts';
import type { ChartTheme } from './theme.ts';

/** Size of a panel in the report. */
const panelSize: PanelSize = { width: 280, height: 196 };

/** One vial's panel with its title: what it is, its extent at the reading time, how it moves. */
export function curveDrawing(
  member: PanelVial,
  axis: TimeAxis,
  theme: ChartTheme,
  size: PanelSize = panelSize,
): Drawing {
  const { vial, run } = member;
  const { region, label, role, fit, extent } = vial.result;
  const mark = vial.sample === null ? '' : outcomeMark(vial.sample.outcome, 6, 8, theme);
  const nameX = vial.sample === null ? 0 : 18;
  const labelX = nameX + textWidth(region, true) + 5;
  const roleText = vial.sample === null ? roleWords[role] : vial.sample.outcome;
  const room = size.width - labelX - textWidth(roleText) - 8;
  const atRead = `${formatWithError(extent.at_read)} at ${formatDuration(run.result.run.read_at_s)}`;
  const moves = fit.model === null ? `no fit: ${fit.reason ?? 'unknown'}` : modelWords[fit.model];
  return {
    ...size,
    description: `${region} ${label}, ${roleText}: extent ${atRead}; ${moves}; onset ${formatTime(vial.result.onset_s)}; half-time ${formatTime(fit.half_time_s)}.`,
    body: [
      mark,
      text(nameX, textSize, region, { fill: theme.ink, bold: true }),
      text(labelX, textSize, fitText(label, room), { fill: theme.ink }),
      text(size.width, textSize, roleText, { fill: theme.soft, anchor: 'end' }),
      text(
        0,
        textSize + 17,
        fitText(`${extent.at_read === null ? 'not read' : formatWithError(extent.at_read)} · ${moves}`, size.width),
        {
          fill: theme.soft,
        },
      ),
      curvePanel([member], axis, size, 42, theme),
    ].join(''),
  };
}

/** Panel of one liquid over several runs: its extents overlaid, told apart by the shapes of the runs. */
export function overlaidDrawing(
  members: readonly PanelVial[],
  axis: TimeAxis,
  theme: ChartTheme,
  size: PanelSize,
): Drawing {
  const { label, role } = members[0]!.vial.result;
  const roleText = roleWords[role];
  const named = members.map(({ runNumber, vial }) => `${runNumber + 1} ${vial.result.region}`).join(' · ');
  return {
    ...size,
    description: `${label}, ${roleText}, in ${members.length} vials: ${named}.`,
    body: [
      text(0, textSize, fitText(label, size.width - textWidth(roleText) - 8, true), { fill: theme.ink, bold: true }),
      text(size.width, textSize, roleText, { fill: theme.soft, anchor: 'end' }),
      text(0, textSize + 17, fitText(named, size.width), { fill: theme.soft }),
      curvePanel(members, axis, size, 42, theme),
    ].join(''),
  };
}
