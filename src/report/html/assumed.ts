import { group } from 'd3-array';
import type { Analysis } from '../../model/analysis.ts';
import { repeatedReason } from '../../model/frame.ts';
import type { Result, ResultCheck, ResultFlag } from '../../model/result.ts';
import { formatDuration } from '../duration.ts';
import { passedCheckWords } from '../check-words.ts';
import { frameRanges } from '../frame-ranges.ts';
import { formatSignificant } from '../round.ts';
import { roleWords, samplesInOrder } from '../words.ts';
import { bdi, html, nothing, prose, raw, type Markup } from './html.ts';
import { cautions, provenance, record } from './record.ts';
import { settings } from './settings.ts';

/** All that the answer rests on, for the reader who was not there; `analysis` gives the settings, which a match has not. */
export function assumedSection(
  { result, cautions: told }: Pick<Analysis, 'result' | 'cautions'>,
  analysis: Analysis | null,
): Markup {
  return html`<section class="long${result.vials.length > 12 ? ' dense' : ''}" aria-labelledby="assumed">
    <h2 id="assumed">What was assumed, and checked</h2>
    <div class="columns">
      ${outcomes(result)}${checks(result)}${references(result)}${frames(result)}${scale(result)}${flags(result)}${analysis === null ? nothing : settings(analysis)}${provenance(result)}${record(result)}${cautions(told)}
    </div>
  </section>`;
}

function outcomes(result: Result): Markup {
  if (result.samples.length === 0) return nothing;
  const items = samplesInOrder(result).map(
    (sample) =>
      html`<li>
        <b>${sample.regions.join(' ')}</b> ${bdi(sample.label)}: ${sample.outcome}. ${prose(sample.reason)}
      </li>`,
  );
  return html`<div class="screen-only">
    <h3>Outcomes in full</h3>
    <ul>
      ${items}
    </ul>
  </div>`;
}

/** On paper what went as it should is said in one line; each sentence stays on screen. */
const onScreen = raw(' class="screen-only"');

const statusWords: Readonly<Record<ResultCheck['status'], string>> = { pass: 'passed', warn: 'care', fail: 'failed' };

function checks(result: Result): Markup {
  const order = ['fail', 'warn', 'pass'];
  const sorted = [...result.checks].sort((a, b) => order.indexOf(a.status) - order.indexOf(b.status));
  const passed = sorted.filter(({ status }) => status === 'pass');
  const items = sorted.map(
    (check) =>
      html`<li${check.status === 'pass' ? onScreen : nothing}>
        <b>${statusWords[check.status]}</b> ${prose(check.message)}
      </li> `,
  );
  return html`<div>
    <h3>Checks</h3>
    ${
      items.length === 0
        ? html`<p>None were made.</p>`
        : html`<ul class="told">
            ${items}${
              passed.length === 0
                ? nothing
                : html`<li class="print-only">
                    <b>${passed.length} passed</b> ${passed.map(({ code }) => passedCheckWords(code)).join(', ')}.
                  </li>`
            }
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
      html`<li${reference.as_expected === true ? onScreen : nothing}>
        <b>${reference.region}</b> ${roleWords[reference.role]}: ${word(reference.as_expected)}.
        ${prose(reference.reason)}
      </li> `,
  );
  const good = result.references.filter(({ as_expected: expected }) => expected === true);
  const byRole = [...group(good, ({ role }) => role)].map(
    ([role, alike]) => `${roleWords[role]} ${alike.map(({ region }) => region).join(' ')}`,
  );
  return html`<div>
    <h3>References</h3>
    <ul class="told">
      ${items}${
        good.length === 0
          ? nothing
          : html`<li class="print-only"><b>${good.length} as expected</b> ${byRole.join(', ')}.</li>`
      }
    </ul>
  </div>`;
}

function frames(result: Result): Markup {
  const { read, used, rejected } = result.run.frames;
  const repeats = rejected.filter(({ reason }) => reason === repeatedReason).length;
  const ranges = frameRanges(rejected.filter(({ reason }) => reason !== repeatedReason));
  const leftOut = repeats === 0 ? '' : `${repeats} repeats of the one before left out, `;
  const shown = ranges.slice(0, 8);
  const items = shown.map(({ frames: named, reason }) => html`<li>${named}: ${reason}</li>`);
  const rest = ranges.length - shown.length;
  return html`<div>
    <h3>Frames</h3>
    <p>
      ${read} read, ${used} used, ${leftOut}${rejected.length - repeats}
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

/** `extent 0: A3 (clean negative)` and the like of one extent and kind in one: `extent 0: A3 A4 (clean negative)`; other words as they are. */
function pinsByExtent(pins: readonly string[]): readonly string[] {
  const read = pins.map((pin) => /^(extent [\d.]+): (\S+) (\(.*\))$/u.exec(pin) ?? [pin, pin, '', '']);
  const alike = [...group(read, ([, extent, , words]) => `${extent!} ${words!}`).values()];
  return alike.map((same) => {
    const [, extent, region, words] = same[0]!;
    return region === '' ? extent! : `${extent!}: ${same.map(([, , one]) => one!).join(' ')} ${words!}`;
  });
}

function scale(result: Result): Markup {
  const { path, assumptions } = result.run;
  const error = (value: number | null): string => (value === null ? 'not known' : formatSignificant(value, 2));
  const ofExtent = [
    `Pins of the scale: ${path.pins.length === 0 ? 'none' : pinsByExtent(path.pins).join('; ')}.`,
    `Colour path ${path.source === 'fitted' ? 'fitted to this run' : 'taken from a saved path'}; error of extent from the path, common to all vials: ${error(path.extent_error)}; colours off the path: ${error(path.residual)} OKLab (RMS).`,
  ];
  // A match reads colours, no extents.
  const items = [...(result.match === undefined ? ofExtent : []), ...assumptions.map(prose)];
  return html`<div>
    <h3>${result.match === undefined ? 'Scale of extent, and assumptions' : 'Assumptions'}</h3>
    <ul>
      ${items.map((item) => html`<li>${item}</li>`)}
    </ul>
  </div>`;
}

/** When a flag held, on the run's clock: `(3 h 39 min to 3 h 51 min)`; nothing where it has no times. */
function flagTimes({ from_run_s: from, to_run_s: to }: ResultFlag): string {
  if (from === null) return to === null ? '' : `(until ${formatDuration(to)})`;
  if (to === null) return `(from ${formatDuration(from)} on)`;
  const [first, last] = [formatDuration(from), formatDuration(to)];
  return first === last ? `(at ${first})` : `(${first} to ${last})`;
}

function flags({ vials }: Result): Markup {
  // what holds for many vials alike, as an event of the whole rack, is said once
  const noted = group(
    vials.flatMap((vial) => vial.flags.map((flag) => ({ region: vial.region, flag }))),
    ({ flag: { message, from_run_s: from, to_run_s: to } }) => JSON.stringify([message, from, to]),
  );
  const items = [...noted.values()].map((alike) => {
    const { flag } = alike[0]!;
    const regions = [...new Set(alike.map(({ region }) => region))];
    const names = regions.length > 1 && regions.length === vials.length ? 'all vials' : regions.join(' ');
    const message = flag.message.startsWith(`${names} `) ? flag.message.slice(names.length + 1) : flag.message;
    return html`<li><b>${names}</b> ${prose(message)} ${flagTimes(flag)}</li>`;
  });
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
