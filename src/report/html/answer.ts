import type { Result, ResultSample } from '../../model/result.ts';
import { differenceAxisOf, differenceRow } from '../charts/difference-chart.ts';
import { axisBody, intervalBody, type ValueAxis } from '../charts/interval-rows.ts';
import { outcomeMark } from '../charts/marks.ts';
import { coordinate, inlineSvg, text } from '../charts/svg.ts';
import { pageTheme } from '../charts/theme.ts';
import { formatDuration } from '../duration.ts';
import { formatInterval, formatLike, formatWithError } from '../round.ts';
import { courseWords, nearestRateWords } from '../course-words.ts';
import { countingRules, levelHead, levelWords } from '../level-words.ts';
import { reasonsOf, type OwnReason, type SharedReason } from '../shared-reasons.ts';
import { onsetWords, samplesInOrder } from '../words.ts';
import { bdi, html, nothing, prose, raw, type Markup } from './html.ts';

const plotWidth = 290;
const rowHeight = 34;
/** Of more samples than this each has a single line on paper (chosen: so many and the rack share a page); of fewer where the rack is full. */
const mostRoomy = 8;
const fullRack = { vials: 18, mostRoomy: 4 } as const;

/** The answer: one line a sample, what is not as it should be first, each difference drawn against the margin. */
export function answerSection(result: Result): Markup {
  const { run } = result;
  if (result.samples.length === 0) return html`<p>This run holds references only: there is no sample to judge.</p>`;
  const axis = differenceAxisOf([result], [10, plotWidth - 10]);
  const margin = marginWords(result);
  const samples = samplesInOrder(result);
  const reasons = reasonsOf(samples);
  const leveled = result.samples.some(({ level }) => level !== null);
  const crowded =
    result.samples.length > (result.vials.length > fullRack.vials ? fullRack.mostRoomy : mostRoomy) ? ' crowded' : '';
  // Roles are said although they are a table's own: narrow screens lay rows out as blocks, which would take them away.
  return html`${sharedReasons(reasons.shared)}
    <table class="answer${crowded}" role="table" style="${lineStyle(axis)}">
      <caption class="hidden">
        Outcome of every sample at ${formatDuration(run.read_at_s)}
      </caption>
      <thead role="rowgroup">
        <tr role="row">
          <th scope="col" role="columnheader">Outcome</th>
          <th scope="col" role="columnheader">Sample</th>
          <th scope="col" role="columnheader">
            Extent above the negatives at ${formatDuration(run.read_at_s).replaceAll(' ', '\u00a0')}
          </th>
          <th scope="col" role="columnheader" class="plot">
            <span class="hidden">Difference drawn against the margin of ${margin}</span>${marginHead(axis, margin)}
          </th>
          ${leveled ? html`<th scope="col" role="columnheader">${levelHead(result)}</th>` : nothing}
          <th scope="col" role="columnheader">Onset, 95 %</th>
        </tr>
      </thead>
      <tbody role="rowgroup">
        ${samples.map((sample) => row(sample, result, axis, reasons.at(sample), leveled))}
      </tbody>
      <tfoot role="rowgroup">
        <tr role="row">
          <td colspan="3" class="note" role="cell">
            ± standard error. Thin line: 95 % interval; heavy stroke: the one-sided bound at ${percent(run.alpha)} that
            decides. <i>Reacted</i>: lower bound above the margin (risk ${percent(run.alpha)} over all samples
            together). <i>Resisted</i>: upper bound below it (risk ${percent(run.alpha)} for each sample).
            <span class="narrow-only">Upright lines: no difference, and dashed the margin of ${margin}.</span>
          </td>
          <td class="plot" role="cell">${axisFoot(axis)}</td>
          <td colspan="${leveled ? 2 : 1}" class="note" role="cell">
            Axis: linear to the margin, logarithmic beyond. ${countingRules(result)}
          </td>
        </tr>
      </tfoot>
    </table>`;
}

/** What holds for several samples, once; their lines bear its short words. */
function sharedReasons(shared: readonly SharedReason[]): Markup {
  if (shared.length === 0) return nothing;
  return html`<ul class="shared">
    ${shared.map(
      ({ short, sentence, samples }) => html`<li><b>${short}</b> (${samples.length} samples) ${prose(sentence)}</li>`,
    )}
  </ul>`;
}

function row(sample: ResultSample, result: Result, axis: ValueAxis, said: OwnReason, leveled: boolean): Markup {
  const onsets = result.vials.filter((vial) => sample.regions.includes(vial.region)).map((vial) => vial.onset_s);
  const difference = sample.extent_difference;
  const level = levelWords(sample.level);
  const onset = onsetWords(onsets);
  const like = (value: number): string => formatLike(value, difference?.se ?? null);
  const body = intervalBody(differenceRow(sample, pageTheme), { ...axis, lines: [] }, 0, rowHeight, pageTheme);
  const estimate =
    difference === null
      ? 'Difference not estimable.'
      : `${formatWithError(difference)}, 95 % interval ${formatInterval(difference.ci95, like)}; margin ${result.run.margin}.`;
  const reason = said.own;
  const rows = reason === '' ? nothing : raw(' rowspan="2"');
  return html`<tr role="row">
      <td class="outcome" role="cell" ${rows}>
        ${outcomeIcon(sample.outcome)}<b>${sample.outcome}</b>${surprise(sample)}${said.short.map(soft)}
      </td>
      <th scope="row" role="rowheader">
        <span class="who"><span class="name">${sample.regions.join(' ')}</span> ${bdi(sample.label)}</span
        >${course(sample, result)}
      </th>
      <td class="number" role="cell" data-head="Above the negatives">
        ${formatWithError(difference)}${bound(sample, like)}
      </td>
      <td class="plot" role="cell" ${rows}>
        ${raw(inlineSvg({ width: plotWidth, height: rowHeight, body, description: estimate }))}
      </td>
      ${
        leveled
          ? html`<td class="level" role="cell" data-head="${levelHead(result)}" ${rows}>
              ${level.said}${level.details.map(soft)}${level.countedAs.map((words) => html`<span class="reason counted">${words}</span>`)}
            </td>`
          : nothing
      }
      <td role="cell" data-head="Onset, 95 %" ${rows}>${onset.said}${soft(onset.detail)}</td>
    </tr>
    ${
      reason === ''
        ? nothing
        : html`<tr class="why" role="row">
            <td class="soft" colspan="2" role="cell">${prose(reason)}</td>
          </tr>`
    }`;
}

export function outcomeIcon(outcome: ResultSample['outcome']): Markup {
  return raw(
    `<svg viewBox="0 0 14 14" width="14" height="14" aria-hidden="true">${outcomeMark(outcome, 7, 7, pageTheme)}</svg>`,
  );
}

function soft(words: string): Markup {
  return words === '' ? nothing : html`<span class="reason">${words}</span>`;
}

/** How it went, and how fast beside the nearest reference. */
function course(sample: ResultSample, result: Result): Markup {
  const words = [courseWords(sample, result), nearestRateWords(sample, result)].filter((part) => part !== '');
  return html`${words.map((part) => html`<span class="reason course">${bdi(part)}</span>`)}`;
}

function surprise(sample: ResultSample): Markup {
  if (sample.as_expected === null || sample.expect === null) return nothing;
  return sample.as_expected ? soft('as expected') : html`<span class="against">not as expected</span>`;
}

function bound(sample: ResultSample, like: (value: number) => string): Markup {
  if (sample.bound === null) return nothing;
  return soft(`${sample.bound.side} bound ${like(sample.bound.value)}`);
}

/** Where the page draws zero and the margin through all rows, as parts of the plot's width. */
function lineStyle(axis: ValueAxis): string {
  return axis.lines
    .map(({ at, dashed }) => `--${dashed ? 'margin' : 'zero'}:${coordinate((100 * axis.position(at)) / plotWidth)}%`)
    .join(';');
}

function marginHead(axis: ValueAxis, margin: string): Markup {
  const mark = axis.lines.find(({ dashed }) => dashed);
  const label =
    mark === undefined
      ? ''
      : text(axis.position(mark.at), 12, `margin ${margin}`, { fill: pageTheme.soft, anchor: 'middle' });
  return raw(`<svg viewBox="0 0 ${plotWidth} 16" width="${plotWidth}" height="16" aria-hidden="true">${label}</svg>`);
}

function axisFoot(axis: ValueAxis): Markup {
  return raw(
    `<svg viewBox="0 0 ${plotWidth} 24" width="${plotWidth}" height="24" aria-hidden="true">${axisBody(axis, 1, pageTheme)}</svg>`,
  );
}

function marginWords({ run }: Result): string {
  return String(Number(run.margin.toPrecision(2)));
}

function percent(alpha: number): string {
  return `${Number((100 * alpha).toPrecision(2))}\u00a0%`;
}
