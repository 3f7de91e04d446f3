import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { matchPage } from '../../src/report/html/match-page.ts';
import { overviewPage } from '../../src/report/overview-page.ts';
import { axeFindings, overflow } from '../support/axe.ts';
import { launchBrowser } from '../support/browser.ts';
import { exampleMatch } from '../support/example-match.ts';
import { fullOverview } from '../support/example-overview.ts';
import { hostileLabels } from '../support/hostile-labels.ts';

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(async () => browser.close());

const pages: readonly (readonly [name: string, write: (labels: readonly string[]) => Promise<string>])[] = [
  ['overview', async (labels) => Promise.resolve(overviewPage(fullOverview(labels)))],
  ['match', async (labels) => matchPage(await exampleMatch(labels), ['Chromium(VI) causes cancer.'])],
];
const plain = ['lot 1', 'lot 2', 'lot 3', 'compound 1', 'compound 2', 'compound 3', 'compound 4', 'lot 4'];

async function open(content: string): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  await page.setContent(content);
  return page;
}

describe.each(pages)('the page of %s', (_, write) => {
  // Measured: 10 to 20 s on two cores that other work shares.
  it(
    'leaves axe-core nothing to find: wide and at 390 pixels, light, dark, as printed',
    { timeout: 180_000 },
    async () => {
      const page = await open(await write(plain));
      for (const media of ['screen', 'print'] as const) {
        await page.emulateMedia({ media, colorScheme: 'light' });
        for (const width of [1280, 390]) {
          await page.setViewportSize({ width, height: 900 });
          // Paper has no pointer: the size of targets is asked on screens only.
          const found = await axeFindings(page);
          const asked = media === 'screen' ? found : found.filter((one) => !one.startsWith('target-size'));
          expect(asked, `${media}, ${width} px`).toEqual([]);
          if (media === 'screen') expect(await overflow(page)).toBeLessThanOrEqual(0);
        }
      }
      await page.emulateMedia({ media: 'screen', colorScheme: 'dark' });
      expect(await axeFindings(page, ['color-contrast'])).toEqual([]);
      await page.close();
    },
  );

  it('shows hostile labels whole and runs none of them, wide and narrow', async () => {
    const page = await browser.newPage();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    await page.setContent(await write(hostileLabels));
    expect(await page.evaluate('window.ran')).toBeUndefined();
    expect(asked.filter((url) => !url.startsWith('data:'))).toEqual([]);
    const shown = await page.locator('bdi').allTextContents();
    for (const label of hostileLabels.slice(0, 7)) expect(shown).toContain(label);
    for (const width of [1280, 390]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await overflow(page)).toBeLessThanOrEqual(0);
    }
    await page.close();
  });
});
