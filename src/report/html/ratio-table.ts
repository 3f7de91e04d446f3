import { group } from 'd3-array';
import type { Result, ResultRatio, ResultSample } from '../../model/result.ts';
import { ratioWords } from '../charts/ratio-chart.ts';
import { clipLabel } from '../clip-label.ts';
import { samplesInOrder } from '../words.ts';
import { bdi, html, nothing, type Markup } from './html.ts';

/** More pairs than this are printed as a table, a line a sample, because a line a pair would not stay on the page (chosen). */
export const mostPairsDrawn = 24;

/** All ratios of a run in a table for paper: a line a sample, a column a reference; the rate's interval, then the half-time's. */
export function ratioTable(result: Result): Markup {
  const samples = samplesInOrder(result).filter(({ against }) => against.length > 0);
  const references = [
    ...group(
      samples.flatMap(({ against }) => against),
      ({ reference }) => reference,
    ).keys(),
  ];
  const labelOf = (region: string): string => result.vials.find((vial) => vial.region === region)?.label ?? '';
  return html`<table class="ratios print-only">
    <caption>
      <b>Sample ÷ reference, 95 % interval</b>
      of rates, and of half-times (t½) where both are known
    </caption>
    <thead>
      <tr>
        <th scope="col">Sample</th>
        ${references.map((region) => html`<th scope="col">÷ ${region} ${bdi(clipLabel(labelOf(region), 24))}</th>`)}
      </tr>
    </thead>
    <tbody>
      ${samples.map(
        (sample) =>
          html`<tr>
            <th scope="row"><b>${sample.regions.join(' ')}</b> ${bdi(clipLabel(sample.label, 18))}</th>
            ${references.map((region) => html`<td>${cell(sample, region)}</td>`)}
          </tr>`,
      )}
    </tbody>
  </table>`;
}

function cell(sample: ResultSample, region: string): Markup {
  const found = sample.against.find(({ reference }) => reference === region);
  if (found === undefined) return nothing;
  const halfTime = found.half_time_ratio;
  return html`<span>${short(found.rate_ratio)}</span
    >${halfTime === null ? nothing : html` <span>t½ ${short(halfTime)}</span>`}`;
}

/** A limit by its sign, so that a column holds it. */
function short(ratio: ResultRatio | null): string {
  return ratioWords(ratio).replace('less than', '<').replace('below', '<').replace('above', '>');
}
