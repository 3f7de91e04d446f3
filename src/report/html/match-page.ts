import type { Result, ResultColourPair, ResultMatch } from '../../model/result.ts';
import { panelChart } from '../charts/panel-chart.ts';
import { inlineSvg } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
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
.pairs tbody th,.pairs tbody .said{white-space:nowrap}
.pairs tbody .said{font-weight:600;white-space:nowrap}
.pairs .number{text-align:right;white-space:nowrap}
.chip{display:block;width:96px;height:40px;border:1px solid var(--rule);border-radius:4px;overflow:hidden;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.matched{display:grid;grid-template-columns:auto 1fr;gap:4px 16px;align-items:center;margin:16px 0 4px}
.matched h3{overflow-wrap:anywhere}
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
            <h2 id="panel">How telling this panel is</h2>
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

/** The answer first: a line a sample. */
function answers({ samples }: ResultMatch): Markup {
  const lines = samples
    .slice(0, mostAnswers)
    .map((sample) => html`<li>${bdi(sample.name)}: ${answerLine(sample)}</li>`);
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
    return html`<tr>
      <td>${twoChips(unit.lab, known.lab)}</td>
      <th scope="row">${bdi(pair.second)}<br /><span class="soft">Lab ${labWords(known.lab)}</span></th>
      <td class="said">${signs[pair.verdict]}</td>
      <td class="number">${number(pair.final.value)}</td>
      ${
        single
          ? nothing
          : html`<td class="number">${number(pair.history?.value)}</td>
              <td class="number">${number(pair.history_unstretched)}</td>`
      }
      ${remarked ? html`<td class="soft">${plainlyApart.test(pair.reason) ? '' : pair.reason}</td>` : nothing}
    </tr>`;
  });
  return html`<div class="matched">
      <span class="chip" style="background:${hexOfLab(unit.lab)}"></span>
      <div>
        <h3>${bdi(sample.name)}: ${answerLine(sample)}</h3>
        <p>${sample.reason}</p>
        <p class="soft">${unit.regions.join(', ')} · Lab ${labWords(unit.lab)}</p>
      </div>
    </div>
    <div class="wide" tabindex="0" role="region" aria-label="${`Distances of ${sample.name}`}">
      <table class="pairs">
        <thead>
          <tr>
            <th scope="col">Sample | reference</th>
            <th scope="col">Reference</th>
            <th scope="col">Verdict</th>
            <th scope="col" class="number">End colours,<br />CIEDE2000</th>
            ${
              single
                ? nothing
                : html`<th scope="col" class="number">On the way,<br />time stretched</th>
                    <th scope="col" class="number">On the way,<br />one clock</th>`
            }
            ${remarked ? html`<th scope="col">Why</th>` : nothing}
          </tr>
        </thead>
        <tbody>
          ${rows}
        </tbody>
      </table>
    </div>`;
}

function twoChips(left: readonly [number, number, number], right: readonly [number, number, number]): Markup {
  const background = `linear-gradient(90deg,${hexOfLab(left)} 50%,${hexOfLab(right)} 50%)`;
  return html`<span class="chip" style="background:${background}"></span>`;
}

function panelWords({ panel }: ResultMatch): string {
  const joined = (verdict: ResultColourPair['verdict']): string =>
    panel
      .filter((pair) => pair.verdict === verdict)
      .map(({ first, second }) => `${first} and ${second}`)
      .join('; ');
  const alike = joined('agrees');
  const open = joined('cannot tell');
  return [
    alike === '' ? '' : `This test cannot tell apart: ${alike}.`,
    open === '' ? '' : `Open, for want of replicates: ${open}.`,
    alike === '' && open === ''
      ? 'All references of this panel can be told apart.'
      : 'All other pairs can be told apart.',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

function yardstick({ views, alpha }: ResultMatch): string {
  const said = views.map(
    ({ view, like_vials: like, margin, df, day_error: day, source }) =>
      `${view === 'final' ? 'End colours' : 'On the way'}: two like vials are ${formatFixed(like, 1)} apart (root mean square over the liquids; ${source}, ${formatFixed(df, 0)} degrees of freedom)${day > 0 ? `, colours of two days another ${formatFixed(day, 0)}` : ''}; a sample agrees when it is surely less than about ${formatFixed(margin, 1)} apart, twice that of like vials of its colour.`,
  );
  return `${said.join(' ')} The risk of one false difference among all samples and references is ${String(alpha)}; that of a false agreement at the margin is ${String(alpha)} for each sample.`;
}
