import { createHash } from 'node:crypto';
import type { Result } from '../../model/result.ts';
import { bdi, html, nothing, raw, type Markup } from './html.ts';

type Inputs = Result['made']['inputs'];

/** Up to so many files are named one by one; of more, as of a folder of stills, the first few (chosen). */
const mostNamed = 12;
const firstNamed = 6;

/** What the report was made from, and how to cite it. */
export function provenance(result: Result): Markup {
  const { made, run } = result;
  const named = made.inputs.length > mostNamed ? made.inputs.slice(0, firstNamed) : made.inputs;
  const items = named.map(
    (input) => html`<li class="hashed">${bdi(input.path)}<br class="screen-only" />${hash(input.sha256)}</li>`,
  );
  return html`<div>
    <h3>Provenance</h3>
    <p>Vialapse ${made.version}; decoder ${made.decoder}; reaction ${bdi(run.reaction)}.</p>
    <ul>
      ${items}${named.length < made.inputs.length ? theRest(made.inputs, named.length) : nothing}
    </ul>
    <p class="print-only">Hashes (sha256) and shortened words are given in full in result.json.</p>
    <h3 class="cite">How to cite</h3>
    <p>
      Vialapse ${made.version}. Report of run “${bdi(run.name)}” (${bdi(run.reaction)}), run file sha256
      ${(made.inputs[0]?.sha256 ?? 'none').slice(0, 12)}.
    </p>
  </div>`;
}

/** On paper a hash is cut short: nobody types 64 digits. */
function hash(sha256: string): Markup {
  return html`<span class="hash"
    ><span class="screen-only">sha256</span> ${sha256.slice(0, 16)}<span class="screen-only">${sha256.slice(16)}</span
    ><span class="print-only">…</span></span
  >`;
}

function theRest(inputs: Inputs, named: number): Markup {
  const last = inputs.at(-1)!;
  return html`<li>and ${inputs.length - named} more, to ${bdi(last.path)}; every one with its hash in result.json</li>
    <li>
      all ${inputs.length} together (the list as sha256sum writes it, hashed)<br
        class="screen-only"
      />${hash(listHash(inputs))}
    </li>`;
}

/** SHA-256 of the list of all files as `sha256sum` writes it: a hash, two spaces, a path, a line each. */
export function listHash(inputs: Inputs): string {
  const list = inputs.map((input) => `${input.sha256}  ${input.path}\n`).join('');
  return createHash('sha256').update(list).digest('hex');
}

/** The user's record of the run, with lines for what was left empty and for the reader's signature. */
export function record(result: Result): Markup {
  // Lines left empty in the run file are printed as lines to write on.
  const entries = Object.entries({ operator: '', reagent_lot: '', reagent_made: '', ...result.run.record });
  const items = entries.map(
    ([key, value]) =>
      html`<dt>${bdi(key.replaceAll('_', ' '))}</dt>
        <dd${value === '' ? raw(' class="blank"') : nothing}>${value === '' ? raw('<span class="hidden">not given</span>') : bdi(value)}</dd>`,
  );
  return html`<div>
    <h3>Record</h3>
    <dl>${items}</dl>
    <p class="sign"><span>Done by</span><span>Date</span></p>
    <p class="sign"><span>Read and judged by</span><span>Date</span></p>
  </div>`;
}

/** Handling cautions, deferring to those who have the last word. */
export function cautions(list: readonly string[]): Markup {
  return html`<div>
    <h3>Cautions</h3>
    <ul>
      ${list.map((caution) => html`<li>${caution}</li>`)}
    </ul>
    <p>
      This report is not a safety document: the safety data sheet of each substance, the local rules and licensed
      practice come first. A colour test screens; it does not prove identity or purity.
    </p>
  </div>`;
}
