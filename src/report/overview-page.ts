import type { Overview, OverviewRow, ReferenceChart } from '../model/overview.ts';
import { csvTable } from './csv.ts';
import { bdi, html, nothing, raw, type Markup } from './html/html.ts';
import { style } from './html/style.ts';
import { formatSignificant } from './round.ts';

const policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

const ownStyle = `
.runs{border-collapse:collapse;width:100%;margin-top:14px}
.runs th,.runs td{text-align:left;vertical-align:top;padding:4px 14px 4px 0;font-weight:400}
.runs thead th{font-weight:600;border-bottom:1px solid var(--ink)}
.runs tbody tr{border-bottom:1px solid var(--hair)}
.runs a{color:inherit;font-weight:600}
.trend{max-width:620px;margin:8px 0 14px}.trend svg{width:100%;height:auto}
pre{white-space:pre-wrap;margin:0;font:inherit}`;

const countOf = ({ rows }: Overview): string => `${rows.length} ${rows.length === 1 ? 'run' : 'runs'}`;

/** overview.html: which runs are bad, may they be believed, what changed; a row a run. */
export function overviewPage(overview: Overview): string {
  const failed = overview.rows.filter(({ failure }) => failure !== null).length;
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <title>Overview: ${countOf(overview)}</title>
        <style>
          ${raw(style + ownStyle)}
        </style>
      </head>
      <body>
        <header>
          <h1>${countOf(overview)}</h1>
          <p class="soft">${failed === 0 ? 'all were read' : `${failed} could not be read`}</p>
        </header>
        <main>
          <div class="scroll" tabindex="0" role="region" aria-label="Runs">
            <table class="runs">
              <thead>
                <tr>
                  <th scope="col">Run</th>
                  <th scope="col">Trust</th>
                  <th scope="col">Controls</th>
                  <th scope="col">Outcomes</th>
                  <th scope="col">Changed since the last batch</th>
                </tr>
              </thead>
              <tbody>
                ${overview.rows.map(rowOf)}
              </tbody>
            </table>
          </div>
          ${lots(overview)}${trends(overview.references)}
        </main>
      </body>
    </html> `;
  return page.markup;
}

function rowOf(row: OverviewRow): Markup {
  if (row.failure !== null) {
    return html`<tr>
      <th scope="row">${bdi(row.name)}</th>
      <td colspan="4">
        <b>not read</b>
        <pre>${row.failure}</pre>
      </td>
    </tr>`;
  }
  const outcomes = row.outcomes.map(
    ({ label, outcome, as_expected: expected }) =>
      html`<li><b>${outcome}</b> ${bdi(label)}${expected === false ? ' (not as expected)' : ''}</li>`,
  );
  const again = row.judged_before === 0 ? [] : [`judged before with other settings: ${row.judged_before} x`];
  const notes = [...row.changed, ...row.warnings, ...again].map((text) => html`<li>${text}</li>`);
  return html`<tr>
    <th scope="row"><a href="${row.report ?? ''}">${bdi(row.name)}</a></th>
    <td>${row.trust ?? ''}</td>
    <td>${row.controls ?? ''}</td>
    <td>
      <ul>
        ${outcomes}
      </ul>
    </td>
    <td>
      <ul>
        ${notes}
      </ul>
    </td>
  </tr>`;
}

function lots({ lots: all }: Overview): Markup {
  if (all.length === 0) return nothing;
  const items = all.map(({ lot, runs, estimate, reason }) => {
    const number = (value: number): string => formatSignificant(value, 2);
    const said =
      estimate === null
        ? `not joined: ${reason ?? ''}`
        : `extent above the negatives ${number(estimate.value)} (95 % ${number(estimate.ci95[0])} to ${number(estimate.ci95[1])}); between runs SD ${number(Math.sqrt(estimate.between_run_variance))}`;
    return html`<li><b>${bdi(lot)}</b> in ${runs.length} runs: ${said}</li>`;
  });
  return html`<section>
    <h2>The same lot in several runs</h2>
    <ul>
      ${items}
    </ul>
  </section>`;
}

function trends(charts: readonly ReferenceChart[]): Markup {
  if (charts.length === 0) return nothing;
  return html`<section>
    <h2>Rates of references from run to run</h2>
    <p class="note">
      Initial rate, in the order of the runs' names. Band: individuals chart, centre and 3 standard deviations from
      moving ranges; line: exponentially weighted mean, dashed its limits (NIST/SEMATECH e-Handbook 6.3.2). Outside:
      ringed.
    </p>
    ${charts.map(
      (chart) =>
        html`<div class="trend">
          <h3>${bdi(chart.label)}</h3>
          ${chart.limits === null ? html`<p class="soft">${chart.reason ?? ''}</p>` : raw(trendSvg(chart, chart.limits))}
        </div>`,
    )}
  </section>`;
}

const size = { width: 620, height: 150, left: 76, right: 8, top: 8, bottom: 22 };

function trendSvg({ points }: ReferenceChart, limits: NonNullable<ReferenceChart['limits']>): string {
  const values = [...points.map(({ rate }) => rate), limits.lower, limits.upper];
  const low = Math.min(...values);
  const span = Math.max(...values) - low || 1;
  const x = (at: number): number =>
    size.left + 10 + ((size.width - size.left - size.right - 20) * at) / Math.max(1, points.length - 1);
  const y = (value: number): number => size.top + (size.height - size.top - size.bottom) * (1 - (value - low) / span);
  const fixed = (value: number): string => value.toFixed(1);
  const across = (value: number, dash: string): string =>
    `<path d="M${size.left} ${fixed(y(value))}H${size.width - size.right}" stroke="var(--rule)" fill="none"${dash}/>`;
  const label = (value: number): string =>
    `<text x="${size.left - 6}" y="${fixed(y(value) + 4)}" text-anchor="end" fill="currentColor">${formatSignificant(3600 * value, 2)}</text>`;
  const smooth = points.flatMap(({ ewma }, at) => (ewma === null ? [] : [`${fixed(x(at))} ${fixed(y(ewma))}`]));
  const dots = points.map(({ rate, outside }, at) => {
    const ring =
      outside.length > 0
        ? `<circle cx="${fixed(x(at))}" cy="${fixed(y(rate))}" r="7" fill="none" stroke="currentColor"/>`
        : '';
    return `<circle cx="${fixed(x(at))}" cy="${fixed(y(rate))}" r="3" fill="currentColor"/>${ring}`;
  });
  return [
    `<svg viewBox="0 0 ${size.width} ${size.height}" role="img" aria-label="rate over runs, extent per hour">`,
    `<rect x="${size.left}" y="${fixed(y(limits.upper))}" width="${size.width - size.left - size.right}" height="${fixed(y(limits.lower) - y(limits.upper))}" fill="var(--faint)"/>`,
    across(limits.centre, ''),
    ...[limits.ewma_lower, limits.ewma_upper].map((value) =>
      value === null ? '' : across(value, ' stroke-dasharray="4 3"'),
    ),
    smooth.length === 0 ? '' : `<path d="M${smooth.join('L')}" fill="none" stroke="currentColor"/>`,
    ...dots,
    ...[limits.upper, limits.centre, limits.lower].map(label),
    `<text x="${size.left}" y="${size.height - 4}" fill="currentColor">extent per hour; run 1 to ${points.length}</text></svg>`,
  ].join('');
}

/** overview.csv: a line a sample of a run; a run without samples, or that failed, has one line. */
export function overviewCsv(overview: Overview): string {
  const columns = [
    'run',
    'report',
    'trust',
    'controls',
    'sample',
    'outcome',
    'as_expected',
    'changed',
    'warnings',
    'judged_before',
    'failure',
  ];
  return csvTable(
    columns,
    overview.rows.flatMap((row) => {
      const samples = row.outcomes.length === 0 ? [null] : row.outcomes;
      return samples.map((sample) => [
        ...[row.name, row.report, row.trust, row.controls, sample?.label ?? null, sample?.outcome ?? null],
        ...[
          sample?.as_expected ?? null,
          row.changed.join('; '),
          row.warnings.join('; '),
          row.judged_before,
          row.failure,
        ],
      ]);
    }),
  );
}
