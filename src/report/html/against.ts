import type { ChartRun } from '../chart-data.ts';
import { rateChart } from '../charts/rate-chart.ts';
import { ratiosChart } from '../charts/ratio-chart.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { html, nothing, raw, type Markup } from './html.ts';

/** Widths whose texts come out at one size side by side. */
const width = { rates: 470, ratios: 690 } as const;

/** Rates of all vials, and the samples' rates and half-times divided by the references'. */
export function againstSection(run: ChartRun): Markup {
  const compared = run.result.samples.some((sample) => sample.against.length > 0);
  return html`<section aria-labelledby="against">
    <h2 id="against">Against the references</h2>
    <div class="compared">
      <div>${raw(inlineSvg(rateChart([run], width.rates, pageTheme)))}</div>
      ${
        compared
          ? html`<div class="wide" tabindex="0" role="region" aria-label="Ratios to the references">
              ${raw(inlineSvg(ratiosChart(run, width.ratios, pageTheme)))}
            </div>`
          : nothing
      }
    </div>
  </section>`;
}
