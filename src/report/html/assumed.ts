import type { Analysis } from '../../model/analysis.ts';
import type { Result, ResultCheck } from '../../model/result.ts';
import { formatDuration } from '../duration.ts';
import { frameRanges } from '../frame-ranges.ts';
import { formatFixed, formatSignificant } from '../round.ts';
import { roleWords } from '../words.ts';
import { bdi, html, nothing, type Markup } from './html.ts';

/** All that the answer rests on, for the reader who was not there. */
export function assumedSection(analysis: Analysis): Markup {
  const { result } = analysis;
  return html`<section aria-labelledby="assumed">
    <h2 id="assumed">What was assumed, and checked</h2>
    <div class="columns">
      ${checks(result)}${references(result)}${frames(result)}${scale(result)}${flags(result)}${provenance(result)}${record(result)}${cautions(analysis.cautions)}
    </div>
  </section>`;
}

const statusWords: Readonly<Record<ResultCheck['status'], string>> = { pass: 'passed', warn: 'care', fail: 'failed' };

function checks(result: Result): Markup {
  const order = ['fail', 'warn', 'pass'];
  const sorted = [...result.checks].sort((a, b) => order.indexOf(a.status) - order.indexOf(b.status));
  const items = sorted.map((check) => html`<li><b>${statusWords[check.status]}</b> ${check.message}</li>`);
  return html`<div>
    <h3>Checks</h3>
    ${
      items.length === 0
        ? html`<p>None were made.</p>`
        : html`<ul>
            ${items}
          </ul>`
    }
  </div>`;
}

function references(result: Result): Markup {
  if (result.references.length === 0) return nothing;
  const word = (expected: boolean | null): string =>
    expected === null ? 'not judged' : expected ? 'as expected' : 'NOT as expected';
  const items = result.references.map(
    (reference) =>
      html`<li>
        <b>${reference.region}</b> ${roleWords[reference.role]}: ${word(reference.as_expected)}; ${reference.reason}
      </li>`,
  );
  return html`<div>
    <h3>References</h3>
    <ul>
      ${items}
    </ul>
  </div>`;
}

function frames(result: Result): Markup {
  const { read, used, rejected } = result.run.frames;
  const ranges = frameRanges(rejected);
  const shown = ranges.slice(0, 8);
  const items = shown.map(({ frames: named, reason }) => html`<li>${named}: ${reason}</li>`);
  const rest = ranges.length - shown.length;
  return html`<div>
    <h3>Frames</h3>
    <p>
      ${read} read, ${used} used, ${rejected.length}
      rejected${result.run.glance ? '; a quick glance that left frames out on purpose' : ''}.
    </p>
    ${
      items.length === 0
        ? nothing
        : html`<ul>
            ${items}
          </ul>`
    }${rest > 0 ? html`<p>${rest} more stretches are listed in result.json.</p>` : nothing}
  </div>`;
}

function scale(result: Result): Markup {
  const { path, between_vial_sd: spread, assumptions, read_at_declared: declared, read_at_s: readAt } = result.run;
  const error = (value: number | null): string => (value === null ? 'not known' : formatSignificant(value, 2));
  const items = [
    ...path.pins,
    `Colour path ${path.source === 'fitted' ? 'fitted to this run' : 'taken from a saved path'}; error of extent from the path, common to all vials: ${error(path.extent_error)}; colours off the path: ${error(path.residual)} OKLab (RMS).`,
    spread === null
      ? 'Scatter between vials of one liquid: not known.'
      : `Scatter between vials of one liquid: ${formatSignificant(spread.value, 2)} in extent (standard deviation, ${formatFixed(spread.df, spread.df % 1 === 0 ? 0 : 1)} degrees of freedom; ${spread.source}).`,
    declared
      ? `Reading time ${formatDuration(readAt)}, declared beforehand.`
      : `No reading time was declared: the end of the run, ${formatDuration(readAt)}, was used.`,
    ...assumptions,
  ];
  return html`<div>
    <h3>Scale of extent, and assumptions</h3>
    <ul>
      ${items.map((item) => html`<li>${item}</li>`)}
    </ul>
  </div>`;
}

function flags(result: Result): Markup {
  const items = result.vials.flatMap((vial) =>
    vial.flags.map((flag) => {
      const from = flag.from_run_s === null ? '' : ` from ${formatDuration(flag.from_run_s)}`;
      const to = flag.to_run_s === null ? '' : ` to ${formatDuration(flag.to_run_s)}`;
      return html`<li><b>${vial.region}</b> ${flag.message}${from}${to}</li>`;
    }),
  );
  if (items.length === 0) return nothing;
  const most = 24;
  return html`<div>
    <h3>Noted on single vials</h3>
    <ul>
      ${items.slice(0, most)}
    </ul>
    ${items.length > most ? html`<p>${items.length - most} more in result.json.</p>` : nothing}
  </div>`;
}

function provenance(result: Result): Markup {
  const { made, run } = result;
  const inputs = made.inputs.map(
    (input) => html`<li>${bdi(input.path)}<br /><span class="hash">sha256 ${input.sha256}</span></li>`,
  );
  return html`<div>
    <h3>Provenance</h3>
    <p>Vialapse ${made.version}; decoder ${made.decoder}; reaction ${bdi(run.reaction)}.</p>
    <ul>
      ${inputs}
    </ul>
    <h3>How to cite</h3>
    <p>
      Vialapse ${made.version}, run “${bdi(run.name)}”, ${result.schema}, input sha256
      ${(made.inputs[0]?.sha256 ?? 'none').slice(0, 12)}…
    </p>
  </div>`;
}

function record(result: Result): Markup {
  const entries = Object.entries(result.run.record).filter(([, value]) => value !== '');
  const items = entries.map(
    ([key, value]) =>
      html`<dt>${bdi(key.replaceAll('_', ' '))}</dt>
        <dd>${bdi(value)}</dd>`,
  );
  return html`<div>
    <h3>Record</h3>
    ${items.length === 0 ? nothing : html`<dl>${items}</dl>`}
    <p class="sign"><span>Read and judged by</span><span>Date</span></p>
  </div>`;
}

function cautions(list: readonly string[]): Markup {
  return html`<div>
    <h3>Cautions</h3>
    <ul>
      ${list.map((caution) => html`<li>${caution}</li>`)}
    </ul>
    <p>
      This report is no safety document: the safety data sheet of each substance, the local rules and licensed practice
      come first. A colour test screens; it does not prove identity or purity.
    </p>
  </div>`;
}
