import type { Result } from '../../model/result.ts';
import { judgedBefore, trustOf, type Trust } from '../words.ts';
import { html, nothing, prose, raw, type Markup } from './html.ts';

const icons: Readonly<Record<Trust, string>> = {
  passed: '<path d="M3 9.5l4 4 8-9" fill="none" stroke="var(--ink)" stroke-width="2"/>',
  'read with care':
    '<path d="M9 2l7.5 14h-15z" fill="none" stroke="var(--ink)" stroke-width="1.5"/><path d="M9 7v4.5M9 13v1.6" stroke="var(--ink)" stroke-width="1.75"/>',
  'do not use':
    '<rect x="1" y="1" width="16" height="16" fill="var(--ink)"/><path d="M5 5l8 8M13 5l-8 8" stroke="var(--paper)" stroke-width="2"/>',
};

/** May this run be believed: the verdict in words and shape, and the checks that lead to it. */
export function trustBox(result: Result): Markup {
  const trust = trustOf(result);
  const notable = result.checks.filter((check) => check.status !== 'pass');
  const listed = [...notable].sort((first, second) => first.status.localeCompare(second.status)).slice(0, 4);
  const rest = notable.length - listed.length;
  const before = judgedBefore(result);
  const passed = result.checks.length - notable.length;
  return html`<section class="trust" aria-labelledby="trust">
    <h2 id="trust">
      <svg viewBox="0 0 18 18" width="18" height="18" aria-hidden="true">${raw(icons[trust])}</svg> Run: ${trust}
    </h2>
    ${
      listed.length === 0
        ? nothing
        : html`<ul>
            ${listed.map((check) => html`<li><b>${check.status === 'fail' ? 'failed' : 'care'}</b> ${prose(check.message)}</li>`)}
          </ul>`
    }
    ${before === null ? nothing : html`<p>${prose(before)}</p>`}
    <p class="soft">${rest > 0 ? `${rest} more below. ` : ''}${passed} of ${result.checks.length} checks passed.</p>
  </section>`;
}
