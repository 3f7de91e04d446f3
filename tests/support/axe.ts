import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Findings of axe-core under all WCAG 2.2 A and AA rules and best practice, or under single rules. */
export async function axeFindings(page: Page, rules: readonly string[] = []): Promise<readonly string[]> {
  const wcag = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
  const runOnly = JSON.stringify(rules.length > 0 ? { type: 'rule', values: rules } : { type: 'tag', values: wcag });
  const { violations } = (await page.evaluate(
    `${axeSource}; axe.run({ runOnly: ${runOnly}, resultTypes: ['violations'], iframes: false })`,
  )) as AxeResults;
  return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`);
}

/** Pixels by which a page is wider than its window. */
export const overflow = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
