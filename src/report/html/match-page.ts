import type { Result, ResultColourPair, ResultMatch } from '../../model/result.ts';
import { panelChart } from '../charts/panel-chart.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { clipLabel } from '../clip-label.ts';
import { formatDuration } from '../duration.ts';
import { hexOfLab, labWords } from '../lab-colour.ts';
import { formatFixed, unknown } from '../round.ts';
import { assumedSection } from './assumed.ts';
import { bdi, html, nothing, raw, type Markup } from './html.ts';
import { style } from './style.ts';
import { trustBox } from './trust.ts';

const policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

const ownStyle = `
.pairs{border-collapse:collapse}.pairs thead th{white-space:nowrap}
.pairs th,.pairs td{text-align:left;font-weight:400;padding:4px 18px 4px 0;vertical-align:middle}
.pairs thead th{font-weight:600;border-bottom:1px solid var(--ink);vertical-align:bottom}
.pairs tbody tr{border-bottom:1px solid var(--hair)}
.pairs tbody th{min-width:15ch;max-width:48ch}.pairs th .soft{white-space:nowrap}
.pairs tbody .said{font-weight:600;white-space:nowrap}
.pairs .number{text-align:right;white-space:nowrap}
.chip{display:block;width:96px;height:40px;border:1px solid var(--rule);border-radius:4px;overflow:hidden;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.matched{display:grid;grid-template-columns:auto 1fr;gap:4px 16px;align-items:center;margin:16px 0 4px}
.matched>div{min-width:0}.matched h3,.count,p,li{overflow-wrap:anywhere}
@media (max-width:620px){.pairs,.pairs tbody{display:block}.pairs thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
.pairs tbody tr{display:grid;grid-template-columns:auto minmax(0,1fr) auto;gap:2px 12px;padding:6px 0}.pairs tbody td,.pairs tbody th{padding:0}.pairs tbody th,.pairs tbody .said{white-space:normal}.pairs tbody .said{overflow-wrap:normal}
.pairs tbody .chip{width:64px;height:34px}.pairs tbody .number{text-align:left;grid-column:1/-1}.pairs tbody .why{grid-column:1/-1}.pairs tbody td[data-head]::before{content:attr(data-head) ': ';color:var(--soft)}}
@media print{.chip{width:56px;height:18px}.pairs th,.pairs td{padding:1px 12px 1px 0}.matched{margin:8px 0 2px}.wide svg{max-width:100%;height:auto}}
`;

const answerWords: Readonly<Record<ResultMatch['samples'][number]['answer'], string>> = {
  'agrees with one': 'agrees in colour with',
  'agrees with several': 'agrees in colour with several:',
  'like none': 'like none of the references',
  'cannot tell': 'cannot tell',
};
const signs: Readonly<Record<ResultColourPair['verdict'], string>> = {
  agrees: '= agrees',
  differs: '≠ differs',
  'cannot tell': '? cannot tell',
};

/** What each sample agrees with, in one line each, for the title and the terminal. */
export function answerLine({ answer, agrees_with: agreesWith }: ResultMatch['samples'][number]): string {
  return agreesWith.length === 0 ? answerWords[answer] : `${answerWords[answer]} ${agreesWith.join(', ')}`;
}

/** The same for the page: names stand apart from the words around them whatever their writing direction. */
function answerMarkup({ answer, agrees_with: agreesWith }: ResultMatch['samples'][number], most = Infinity): Markup {
  const names = agreesWith.map((name, at) => html`${at === 0 ? ' ' : ', '}${bdi(clipLabel(name, most))}`);
  return html`${answerWords[answer]}${names}`;
}

/** The report of `match` as one self-contained page. */
export function matchPage(result: Result, cautions: readonly string[]): string {
  const match = result.match!;
  const { run } = result;
  const single = match.views.length === 1;
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <title>${run.name}: colours against known references</title>
        <style>
          ${raw(style)}${raw(ownStyle)}
        </style>
      </head>
      <body>
        <header class="head">
          <div>
            <h1>${bdi(run.name)}</h1>
            <p class="soft">
              ${run.reaction} ·
              ${run.frames.used === 1 ? 'one picture' : `read at ${formatDuration(run.read_at_s)} (${run.read_at_declared ? 'declared beforehand' : 'the end: none was declared'})`}
              · risk
              ${String(match.alpha)}${match.knowns_from === null ? nothing : html` · knowns from ${bdi(match.knowns_from)}`}
            </p>
            ${answers(match)}
            <p class="note">Colours against references of known identity. ${match.claim}</p>
          </div>
          ${trustBox(result)}
        </header>
        <main>
          <section aria-labelledby="samples">
            <h2 id="samples">Samples</h2>
            ${
              match.samples.length === 0
                ? html`<p>This run holds references only.</p>`
                : html`<p class="note">
                    ≠ without a remark: the end colours are further apart than the noise of like vials explains.
                  </p>`
            }
            ${match.samples.map((sample) => sampleBlock(sample, match, single))}
          </section>
          <section aria-labelledby="panel">
            <h2 id="panel">Which references can be told apart</h2>
            <p class="note">${panelWords(match)}</p>
            <div class="wide" tabindex="0" role="region" aria-label="Mutual distances of the references">
              ${raw(inlineSvg(panelChart(match, pageTheme)))}
            </div>
            <p class="note">${yardstick(match)}</p>
          </section>
          ${assumedSection({ result, cautions }, null)}
        </main>
      </body>
    </html> `.markup;
}

/** The reason that only repeats verdict and distance of its row. */
const plainlyApart = /^final colours are \S+ apart, more than the noise of like vials explains$/;

/** So many answers stand at the top; the sections below have them all. */
const mostAnswers = 6;
/** Longer names are cut there; below they stand whole. */
const mostLetters = 44;

/** The answer first: a line a sample. */
function answers({ samples }: ResultMatch): Markup {
  const lines = samples
    .slice(0, mostAnswers)
    .map((sample) => html`<li>${bdi(clipLabel(sample.name, mostLetters))}: ${answerMarkup(sample, mostLetters)}</li>`);
  const rest = samples.length - lines.length;
  return html`<ul class="count">
    ${lines}${rest > 0 ? html`<li>and ${rest} more</li>` : nothing}
  </ul>`;
}

function sampleBlock(sample: ResultMatch['samples'][number], match: ResultMatch, single: boolean): Markup {
  const unit = match.units.find(({ role, name }) => role === 'sample' && name === sample.name)!;
  const order = [...sample.against].sort((one, other) => one.final.value - other.final.value);
  const number = (value: number | null | undefined): string =>
    value === null || value === undefined ? unknown : formatFixed(value, value < 10 ? 1 : 0);
  const remarked = order.some(({ reason }) => !plainlyApart.test(reason));
  const rows = order.map((pair) => {
    const known = match.units.find(({ role, name }) => role !== 'sample' && name === pair.second)!;
    return html`<tr role="row">
      <td role="cell">${twoChips(unit.lab, known.lab)}</td>
      <th scope="row" role="rowheader">
        ${bdi(pair.second)}<br /><span class="soft">Lab ${labWords(known.lab)}</span>
      </th>
      <td class="said" role="cell">${signs[pair.verdict]}</td>
      <td class="number" role="cell" data-head="End colours, CIEDE2000">${number(pair.final.value)}</td>
      ${
        single
          ? nothing
          : html`<td class="number" role="cell" data-head="On the way, time stretched">
                ${number(pair.history?.value)}
              </td>
              <td class="number" role="cell" data-head="On the way, times as they are">
                ${number(pair.history_unstretched)}
              </td>`
      }
      ${remarked ? html`<td class="soft why" role="cell">${plainlyApart.test(pair.reason) ? '' : pair.reason}</td>` : nothing}
    </tr>`;
  });
  return html`<div class="matched">
      <span class="chip" style="background:${hexOfLab(unit.lab)}"></span>
      <div>
        <h3>${bdi(sample.name)}: ${answerMarkup(sample)}</h3>
        <p>${sample.reason}</p>
        <p class="soft">${unit.regions.join(', ')} · Lab ${labWords(unit.lab)}</p>
      </div>
    </div>
    <div class="wide" tabindex="0" role="region" aria-label="${`Distances of ${sample.name}`}">
      <table class="pairs" role="table">
        <thead role="rowgroup">
          <tr role="row">
            <th scope="col" role="columnheader">Sample | reference</th>
            <th scope="col" role="columnheader">Reference</th>
            <th scope="col" role="columnheader">Verdict</th>
            <th scope="col" role="columnheader" class="number">End colours,<br />CIEDE2000</th>
            ${
              single
                ? nothing
                : html`<th scope="col" role="columnheader" class="number">On the way,<br />time stretched</th>
                    <th scope="col" role="columnheader" class="number">On the way,<br />times as they are</th>`
            }
            ${remarked ? html`<th scope="col" role="columnheader">Why</th>` : nothing}
          </tr>
        </thead>
        <tbody role="rowgroup">
          ${rows}
        </tbody>
      </table>
    </div>`;
}

function twoChips(left: readonly [number, number, number], right: readonly [number, number, number]): Markup {
  const background = `linear-gradient(90deg,${hexOfLab(left)} 50%,${hexOfLab(right)} 50%)`;
  return html`<span class="chip" style="background:${background}"></span>`;
}

function panelWords({ panel }: ResultMatch): Markup {
  const joined = (lead: string, verdict: ResultColourPair['verdict']): Markup => {
    const pairs = panel.filter((pair) => pair.verdict === verdict);
    if (pairs.length === 0) return nothing;
    const said = pairs.map(({ first, second }, at) => html`${at === 0 ? '' : '; '}${bdi(first)} and ${bdi(second)}`);
    return html`${lead}: ${said}. `;
  };
  const all = panel.every(({ verdict }) => verdict === 'differs');
  return html`${joined('This test cannot tell apart', 'agrees')}${joined('Open, for want of replicates', 'cannot tell')}${all ? 'All references of this panel can be told apart.' : 'All other pairs can be told apart.'}`;
}

function yardstick({ views, alpha }: ResultMatch): string {
  const said = views.map(
    ({ view, like_vials: like, margin, df, day_error: day, source }) =>
      `${view === 'final' ? 'End colours' : 'On the way'}: two like vials are ${formatFixed(like, 1)} apart (root mean square over the liquids; ${source}, ${formatFixed(df, 0)} degrees of freedom)${day > 0 ? `, colours of two days another ${formatFixed(day, 0)}` : ''}; a sample agrees when it is surely less than about ${formatFixed(margin, 1)} apart, twice that of like vials of its colour.`,
  );
  return `${said.join(' ')} The risk of one false difference among all samples and references is ${String(alpha)}; that of a false agreement at the margin is ${String(alpha)} for each sample.`;
}
