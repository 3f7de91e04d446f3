import type { Analysis } from '../../model/analysis.ts';
import type { ChartRun, TimeAxis } from '../chart-data.ts';
import { huePanel, hueScales } from '../charts/hue-panel.ts';
import { byRole } from '../charts/aligned-vials.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { pathAsSeen } from '../path-as-seen.ts';
import { html, nothing, raw, type Markup } from './html.ts';

/** Each vial's way through the a,b plane of OKLab over the run's colour path, beside its hue against time. */
export function hueSection({ path, series, measurement }: Analysis, run: ChartRun, axis: TimeAxis): Markup {
  const paths = run.vials.map(({ result: { region } }, index) =>
    pathAsSeen(
      path,
      series[index]!,
      measurement.vials.find(({ id }) => id === region),
    ),
  );
  const scales = hueScales(run, paths.flat(), axis);
  const shown = byRole(run.vials);
  const many = shown.length > 12;
  const deep = shown.length > 16;
  const panels = shown.map((vial, index) => {
    const replicate = many && vial.sample !== null && shown[index - 1]?.sample === vial.sample;
    return html`<li class="panel${replicate ? ' screen-only' : ''}">
      ${raw(inlineSvg(huePanel(vial, paths[run.vials.indexOf(vial)]!, scales, pageTheme)))}
    </li>`;
  });
  return html`<section class="flows${deep ? ' tall' : ''}" aria-labelledby="hue">
    <h2 id="hue">Hue</h2>
    <p class="note">
      Left: OKLab a (green to red) and b (blue to yellow), no unit; line: the run's colour path from fresh to spent at
      the brightness of this vial, dots: the vial's way, ring: where it ended. Right: OKLCh hue in degrees against time
      since dosing. Dots beside the line are colours that this reaction does not
      make.${many ? html` <span class="print-only">Of replicates the first is printed.</span>` : nothing}
    </p>
    <ul class="panels${shown.length > 8 ? ' many' : ''}">
      ${panels}
    </ul>
  </section>`;
}
