import { group } from 'd3-array';
import type { Result, ResultSample } from '../../model/result.ts';
import { clipLabel } from '../clip-label.ts';
import { windowWords } from '../window-words.ts';
import { outcomeCount, samplesInOrder } from '../words.ts';
import { bdi, html, nothing, type Markup } from './html.ts';

/** Names read at a glance; the table below has them all. */
const mostNames = 5;

/** The answer in one line: which samples are not what they should be, by name; the count of outcomes; when the test was telling. */
export function headline(result: Result): Markup {
  const { said, named } = answerOf(samplesInOrder(result));
  const distinct = namesOf(named);
  const shown = distinct.slice(0, mostNames);
  const rest = distinct.length - shown.length;
  // A comma stays with its name when the line is broken.
  const names = shown.map(
    (name, index) => html`<span class="one">${name}${index < shown.length - 1 ? ',' : ''}</span> `,
  );
  const window = windowWords(result);
  return html`<p class="count">${said}${names}${rest > 0 ? `and\u00a0${rest}\u00a0more` : ''}</p>
    <p class="soft">
      Of ${result.samples.length} ${result.samples.length === 1 ? 'sample' : 'samples'}: ${outcomeCount(result)}
    </p>
    ${window === '' ? nothing : html`<p class="soft">${window}</p>`}`;
}

function answerOf(samples: readonly ResultSample[]): { said: string; named: readonly ResultSample[] } {
  const unexpected = samples.filter((sample) => sample.as_expected === false);
  if (unexpected.length > 0) return { said: 'Not as expected: ', named: unexpected };
  const undecided = samples.filter((sample) => sample.outcome === 'undecided');
  if (undecided.length > 1 && undecided.length === samples.length)
    return { said: 'No sample could be decided', named: [] };
  if (undecided.length > 0) return { said: 'Undecided: ', named: undecided };
  const reacted = samples.filter((sample) => sample.outcome === 'reacted' && sample.as_expected === null);
  if (reacted.length > 0) return { said: 'Reacted: ', named: reacted };
  if (samples.length === 0) return { said: 'No samples', named: [] };
  const told = samples.every((sample) => sample.as_expected === true);
  return { said: told ? 'All samples as expected' : 'No sample reacted against expectation', named: [] };
}

/** The samples' labels; where several bear the same, once with their vials behind. */
function namesOf(samples: readonly ResultSample[]): readonly Markup[] {
  const byLabel = group(samples, ({ label }) => label);
  return [...byLabel].map(([label, alike]) => {
    const vials = alike.length === 1 ? '' : ` (${alike.flatMap(({ regions }) => regions).join(', ')})`;
    return html`${bdi(clipLabel(label, 44))}${vials}`;
  });
}
