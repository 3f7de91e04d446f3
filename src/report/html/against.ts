import type { ChartRun } from '../chart-data.ts';
import { rateChart } from '../charts/rate-chart.ts';
import { ratioChart } from '../charts/ratio-chart.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { html, nothing, raw, type Markup } from './html.ts';

const width = 384;

/** Rates of all vials, and the samples' rates and half-times divided by the references'. */
export function againstSection(run: ChartRun): Markup {
  const compared = run.result.samples.some((sample) => sample.against.length > 0);
  const ratios = (['rate_ratio', 'half_time_ratio'] as const).map(
    (kind) => html`<div>${raw(inlineSvg(ratioChart([run], kind, width, pageTheme)))}</div>`,
  );
  return html`<section aria-labelledby="against">
    <h2 id="against">Against the references</h2>
    <div class="three">
      <div>${raw(inlineSvg(rateChart([run], width, pageTheme)))}</div>
      ${compared ? ratios : nothing}
    </div>
  </section>`;
}
