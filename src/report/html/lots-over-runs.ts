import { group } from 'd3-array';
import type { LotOverRuns } from '../../model/overview.ts';
import { formatFixed, formatLike } from '../round.ts';
import { bdi, html, nothing, type Markup } from './html.ts';

/** The same lot in several runs: joined differences in a table; those not joined by their reason, said once. */
export function lotsSection(lots: readonly LotOverRuns[]): Markup {
  if (lots.length === 0) return nothing;
  const joined = lots.filter(({ estimate }) => estimate !== null);
  const refused = [
    ...group(
      lots.filter(({ estimate }) => estimate === null),
      ({ reason }) => reason ?? '',
    ),
  ];
  return html`<section aria-labelledby="lots">
    <h2 id="lots">The same lot in several runs</h2>
    ${joined.length === 0 ? nothing : joinedTable(joined)}
    ${
      refused.length === 0
        ? nothing
        : html`<ul class="refused">
            ${refused.map(
              ([reason, alike]) =>
                html`<li>
                  <b>Not joined</b>, because ${reason}:
                  ${alike.map(({ lot }, index) => html`${index === 0 ? '' : ', '}${bdi(lot)}`)}.
                </li>`,
            )}
          </ul>`
    }
  </section>`;
}

function joinedTable(lots: readonly LotOverRuns[]): Markup {
  return html`<table class="runs lots" role="table">
    <thead role="rowgroup">
      <tr role="row">
        <th scope="col" role="columnheader">Lot</th>
        <th scope="col" role="columnheader">Runs</th>
        <th scope="col" role="columnheader">Extent above the negatives</th>
        <th scope="col" role="columnheader">95 %</th>
        <th scope="col" role="columnheader">Between runs, standard deviation</th>
      </tr>
    </thead>
    <tbody role="rowgroup">
      ${lots.map(({ lot, runs, estimate }) => {
        if (estimate === null) return nothing;
        const [lower, upper] = estimate.ci95;
        const like = (value: number): string => formatLike(value, (upper - lower) / 4);
        const between = Math.sqrt(estimate.between_run_variance);
        return html`<tr role="row">
          <th scope="row" role="rowheader">${bdi(lot)}</th>
          <td role="cell" data-head="Runs">${runs.length}</td>
          <td role="cell" data-head="Extent above the negatives">${like(estimate.value)}</td>
          <td role="cell" data-head="95 %">${like(lower)} to ${like(upper)}</td>
          <td role="cell" data-head="Between runs, standard deviation">
            ${between === 0 ? '0' : formatFixed(between, 3)}
          </td>
        </tr>`;
      })}
    </tbody>
  </table>`;
}
