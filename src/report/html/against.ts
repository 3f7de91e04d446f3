import type { ChartRun } from '../chart-data.ts';
import { rateChart } from '../charts/rate-chart.ts';
import { ratiosChart } from '../charts/ratio-chart.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { html, nothing, raw, type Markup } from './html.ts';
import { mostPairsDrawn, ratioTable } from './ratio-table.ts';

/** Widths whose texts come out at one size side by side. */
const width = { rates: 470, ratios: 690 } as const;

/** Rates of all vials, and the samples' rates and half-times divided by the references'. */
export function againstSection(run: ChartRun): Markup {
  const pairs = run.result.samples.reduce((sum, { against }) => sum + against.length, 0);
  const many = pairs > mostPairsDrawn;
  return html`<section aria-labelledby="against">
    <h2 id="against">Against the references</h2>
    <div class="compared">
      <div>${raw(inlineSvg(rateChart([run], width.rates, pageTheme)))}</div>
      ${
        pairs === 0
          ? nothing
          : html`<div
                class="wide${many ? ' screen-only' : ''}"
                tabindex="0"
                role="region"
                aria-label="Ratios to the references"
              >
                ${raw(inlineSvg(ratiosChart(run, width.ratios, pageTheme)))}
              </div>
              ${many ? ratioTable(run.result) : nothing}`
      }
    </div>
  </section>`;
}
