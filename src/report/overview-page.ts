import { group } from 'd3-array';
import type { Overview, OverviewRow } from '../model/overview.ts';
import type { Outcome } from '../model/result.ts';
import { doubtfulCheckWords } from './check-words.ts';
import { outcomeIcon } from './html/answer.ts';
import { bdi, html, nothing, raw, type Markup } from './html/html.ts';
import { lotsSection } from './html/lots-over-runs.ts';
import { trendsSection } from './html/reference-trends.ts';
import { style } from './html/style.ts';

const policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

const ownStyle = `
.runs{border-collapse:collapse;width:100%;margin-top:14px}
.runs th,.runs td{text-align:left;vertical-align:top;padding:4px 18px 4px 0;font-weight:400}
.runs thead th{font-weight:600;border-bottom:1px solid var(--ink)}
.runs tbody tr{border-bottom:1px solid var(--hair)}
.runs tbody th{overflow-wrap:anywhere;min-width:9em}
.runs a{color:inherit;font-weight:600}
.runs td:nth-child(2){width:22%}.runs .reason{display:block}.runs .outcome{white-space:normal}.runs .outcome li{padding-left:20px;text-indent:-20px}.runs .outcome svg{margin-right:6px}
.lots{width:auto;margin-top:0}.refused{margin-top:8px;max-width:110ch}
.trends{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(500px,100%),1fr));gap:12px 24px;margin-top:8px}.trends svg{width:100%;height:auto}
pre{white-space:pre-wrap;overflow-wrap:anywhere;margin:0;font:inherit}
@media (max-width:620px){.runs,.runs tbody,.runs tbody tr,.runs tbody td,.runs tbody th{display:block}.runs thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
.runs tbody tr{padding:8px 0}.runs tbody td,.runs tbody th,.runs td:nth-child(2){padding:0 0 3px;width:auto}.runs tbody td[data-head]::before{content:attr(data-head) ': ';color:var(--soft)}}
@media print{.runs th,.runs td{padding:1px 10px 1px 0}.runs tr{break-inside:avoid}.trends{grid-template-columns:1fr 1fr}}`;

/** overview.html: which runs are bad, may they be believed, what changed; a row a run. */
export function overviewPage(overview: Overview): string {
  const count = countOf(overview.rows.length, 'run');
  const noted = overview.rows.some((row) => notesOf(row).length > 0);
  // Roles are said although they are a table's own: narrow screens lay rows out as blocks, which would take them away.
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <title>Overview: ${count}</title>
        <style>
          ${raw(style + ownStyle)}
        </style>
      </head>
      <body>
        <header>
          <h1>${count}</h1>
          <p class="count">${samplesInShort(overview)}</p>
          <p class="soft">${runsInShort(overview)}</p>
        </header>
        <main>
          <div class="scroll" tabindex="0" role="region" aria-label="Runs">
            <table class="runs" role="table">
              <thead role="rowgroup">
                <tr role="row">
                  <th scope="col" role="columnheader">Run</th>
                  <th scope="col" role="columnheader">Trust</th>
                  <th scope="col" role="columnheader">Outcomes</th>
                  ${noted ? html`<th scope="col" role="columnheader">Noted, and changed since the last batch</th>` : nothing}
                </tr>
              </thead>
              <tbody role="rowgroup">
                ${overview.rows.map((row) => rowOf(row, noted))}
              </tbody>
            </table>
          </div>
          ${lotsSection(overview.lots)}${trendsSection(overview.references)}
        </main>
      </body>
    </html> `;
  return page.markup;
}

function countOf(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

/** The answer first: how many samples are not what they should be, and in which runs to look. */
function samplesInShort({ rows }: Overview): string {
  const bad = rows.filter(({ outcomes }) => outcomes.some(({ as_expected: expected }) => expected === false));
  const all = rows.flatMap(({ outcomes }) => outcomes);
  const unexpected = all.filter(({ as_expected: expected }) => expected === false).length;
  const undecided = all.filter(({ outcome }) => outcome === 'undecided').length;
  const parts = [
    ...(unexpected > 0 ? [`${countOf(unexpected, 'sample')} not as expected, in ${countOf(bad.length, 'run')}`] : []),
    ...(undecided > 0 ? [`${undecided} undecided`] : []),
  ];
  if (parts.length > 0) return parts.join('; ');
  return all.some(({ as_expected: expected }) => expected === true)
    ? 'No sample against expectation'
    : countOf(all.length, 'sample');
}

function runsInShort({ rows }: Overview): string {
  const failed = rows.filter(({ failure }) => failure !== null).length;
  const trusts = ['passed', 'read with care', 'do not use'].flatMap((trust) => {
    const count = rows.filter((row) => row.trust === trust).length;
    return count === 0 ? [] : [`${count} ${trust}`];
  });
  return `Runs: ${[...trusts, ...(failed === 0 ? [] : [`${failed} could not be read`])].join(', ')}`;
}

function rowOf(row: OverviewRow, noted: boolean): Markup {
  if (row.failure !== null) {
    return html`<tr role="row">
      <th scope="row" role="rowheader">${bdi(row.name)}</th>
      <td colspan="${noted ? 3 : 2}" role="cell">
        <b>not read</b>
        <pre>${row.failure}</pre>
      </td>
    </tr>`;
  }
  const doubts = (row.not_passed ?? []).map(doubtfulCheckWords).join(', ');
  return html`<tr role="row">
    <th scope="row" role="rowheader"><a href="${row.report ?? ''}">${bdi(row.name)}</a></th>
    <td role="cell" data-head="Trust">
      ${row.trust === 'passed' ? (row.trust ?? '') : html`<b>${row.trust ?? ''}</b>`}
      ${doubts === '' ? nothing : html`<span class="reason">${doubts}</span>`}
    </td>
    <td class="outcome" role="cell">
      <ul>
        ${outcomesOf(row)}
      </ul>
    </td>
    ${
      noted
        ? html`<td role="cell">
            <ul>
              ${notesOf(row).map((text) => html`<li>${text}</li>`)}
            </ul>
          </td>`
        : nothing
    }
  </tr>`;
}

function notesOf(row: OverviewRow): readonly string[] {
  const again = row.judged_before === 0 ? [] : [`judged ${row.judged_before} × before with other settings`];
  return [...row.changed, ...row.warnings, ...again];
}

/** What is not as expected first, then what is undecided; what came as expected in one line an outcome. */
function outcomesOf({ outcomes }: OverviewRow): readonly Markup[] {
  const rank = ({ outcome, as_expected: expected }: OverviewRow['outcomes'][number]): number =>
    expected === false ? 0 : outcome === 'undecided' ? 1 : outcome === 'reacted' ? 2 : 3;
  const single = outcomes.filter(({ as_expected: expected }) => expected !== true).sort((a, b) => rank(a) - rank(b));
  const expected = group(
    outcomes.filter(({ as_expected: came }) => came === true),
    ({ outcome }) => outcome,
  );
  return [
    ...single.map(
      ({ label, outcome, as_expected: came }) =>
        html`<li>
          ${iconOf(outcome)}<b>${outcome}</b> ${bdi(label)}${came === false ? html` <b>not as expected</b>` : nothing}
        </li>`,
    ),
    ...[...expected].map(
      ([outcome, alike]) =>
        html`<li class="soft">
          ${iconOf(outcome)}${outcome} as expected:
          ${alike.map(({ label }, index) => html`${index === 0 ? '' : ', '}${bdi(label)}`)}
        </li>`,
    ),
  ];
}

/** The report's mark of an outcome; a match has answers without one. */
function iconOf(outcome: string): Markup {
  const known: readonly string[] = ['reacted', 'resisted', 'undecided'] satisfies Outcome[];
  return known.includes(outcome) ? outcomeIcon(outcome as Outcome) : nothing;
}
