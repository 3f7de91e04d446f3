import type { ColourPath } from '../../model/extent.ts';
import type { ChartRun, TimeAxis } from '../chart-data.ts';
import { huePanel, hueScales } from '../charts/hue-panel.ts';
import { byRole } from '../charts/aligned-vials.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { oklabOfLinear } from '../seen-colour.ts';
import { html, nothing, raw, type Markup } from './html.ts';

/** Each vial's way through the a,b plane of OKLab over the run's colour path, beside its hue against time. */
export function hueSection(run: ChartRun, path: ColourPath, axis: TimeAxis): Markup {
  const scales = hueScales(run, path.linearRgb.map(oklabOfLinear), axis);
  const shown = byRole(run.vials);
  const many = shown.length > 12;
  const panels = shown.map((vial, index) => {
    const replicate = many && vial.sample !== null && shown[index - 1]?.sample === vial.sample;
    return html`<li class="panel${replicate ? ' screen-only' : ''}">
      ${raw(inlineSvg(huePanel(vial, scales, pageTheme)))}
    </li>`;
  });
  return html`<section aria-labelledby="hue">
    <h2 id="hue">Hue</h2>
    <p class="note">
      Left: OKLab a (green to red) and b (blue to yellow), no unit; line: the run's colour path from fresh to spent,
      dots: the vial's way, ring: where it ended. Right: OKLCh hue in degrees against time since dosing. A vial's own
      glass and light move it off the line; its extent allows for
      that.${many ? html` <span class="print-only">Of replicates the first is printed.</span>` : nothing}
    </p>
    <ul class="panels${many ? ' many' : ''}">
      ${panels}
    </ul>
  </section>`;
}
