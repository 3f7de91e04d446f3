import type { RunEvent } from '../../model/run.ts';
import { byRole } from '../charts/aligned-vials.ts';
import type { ChartRun, TimeAxis } from '../chart-data.ts';
import { curveDrawing } from '../charts/curve-drawing.ts';
import { curveLegend } from '../charts/legend.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { formatDuration } from '../duration.ts';
import { bdi, html, nothing, raw, type Markup } from './html.ts';

/** Extent against time of every vial: small multiples on one scale. */
export function curvesSection(run: ChartRun, axis: TimeAxis, events: readonly RunEvent[]): Markup {
  const panels = byRole(run.vials).map(
    (vial) =>
      html`<li class="panel">
        ${raw(inlineSvg(curveDrawing({ run, runNumber: 0, vial }, axis, pageTheme)))}<i class="cursor"></i>
      </li>`,
  );
  const key = curveLegend(run, pageTheme).map(
    ({ icon, words }) =>
      html`<li><svg viewBox="0 0 26 15" width="26" height="15" aria-hidden="true">${raw(icon)}</svg> ${words}</li>`,
  );
  return html`<section class="flows" aria-labelledby="curves">
    <h2 id="curves">Extent (fraction converted) against time since dosing</h2>
    <ul class="key">
      ${key}
      <li>Under each name: extent at the reading time ± standard error, and the model that fits.</li>
    </ul>
    <ul class="panels${run.vials.length > 12 ? ' many' : ''}">
      ${panels}
    </ul>
    ${eventList(events)}
  </section>`;
}

/** So many events are named on paper, where two pages hold all; the screen has every one. */
const mostPrinted = 12;

function eventList(events: readonly RunEvent[]): Markup {
  if (events.length === 0) return nothing;
  const items = events.map(
    (event, index) =>
      html`<li${index < mostPrinted ? nothing : raw(' class="screen-only"')}>
        <b>${index + 1}</b> ${formatDuration(event.atRunS).replaceAll(' ', '\u00a0')}
        ${bdi(event.what)}${event.region === null ? '' : ` (${event.region})`}
      </li>`,
  );
  return html`<p class="note lead">Events, on the run's clock:</p>
    <ol class="events note">
      ${items}${events.length > mostPrinted ? html`<li class="print-only">and ${events.length - mostPrinted} more in events.csv</li>` : nothing}
    </ol>`;
}
