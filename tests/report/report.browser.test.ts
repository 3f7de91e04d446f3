import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadReaction } from '../../src/files/index.ts';
import { reportPage } from '../../src/report/html/page.ts';
import { axeFindings, overflow } from '../support/axe.ts';
import { launchBrowser } from '../support/browser.ts';
import { crowdedAnalysis } from '../support/crowded-analysis.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';
import { hostileLabels } from '../support/hostile-labels.ts';

const hostile = hostileLabels.slice(0, 3);

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(async () => browser.close());

async function open(content: string, options: Parameters<Browser['newPage']>[0] = {}): Promise<Page> {
  const opened = async (): Promise<Page> => {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, ...options });
    await page.setContent(content);
    return page;
  };
  // A renderer that dies while it loads (seen once in some thirty whole runs on a busy machine) says nothing of the page.
  return opened().catch((error: unknown) => {
    if (error instanceof Error && error.message.includes('Page crashed')) return opened();
    throw error;
  });
}

async function pagesOf(page: Page): Promise<number> {
  const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
  return pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}

describe('the report in a browser', () => {
  // Measured: 30 to 60 s on two cores that other work shares.
  it('leaves axe-core nothing to find, in light, dark, narrow and as printed', { timeout: 180_000 }, async () => {
    const page = await open(reportPage(await exampleAnalysis({ frames: 9 })));
    expect(await axeFindings(page)).toEqual([]);
    await page.emulateMedia({ colorScheme: 'dark' });
    expect(await axeFindings(page, ['color-contrast'])).toEqual([]);
    await page.emulateMedia({ colorScheme: 'light', media: 'print' });
    // Paper has no pointer: the size of targets is asked on screens only.
    expect((await axeFindings(page)).filter((one) => !one.startsWith('target-size'))).toEqual([]);
    await page.emulateMedia({ media: 'screen' });
    for (const width of [768, 360]) {
      await page.setViewportSize({ width, height: 900 });
      expect(await axeFindings(page, ['scrollable-region-focusable', 'target-size'])).toEqual([]);
      expect(await overflow(page)).toBeLessThanOrEqual(0);
    }
    await page.close();
  });

  it('shows hostile labels and runs none of them', async () => {
    const page = await browser.newPage();
    const asked: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    await page.setContent(reportPage(await exampleAnalysis({ frames: 61, labels: hostile })));
    expect(await page.evaluate('window.ran')).toBeUndefined();
    const shown = await page.locator('.label bdi').allTextContents();
    expect(shown).toEqual(expect.arrayContaining(hostile.slice(0, 2)));
    expect(shown.some((label) => label.startsWith('</script></title>'))).toBe(true);
    expect(asked.filter((url) => !url.startsWith('data:'))).toEqual([]);
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    await page.close();
  });

  it('moves all vials, the said time and the still with the keyboard', async () => {
    const page = await open(reportPage(await exampleAnalysis({ frames: 61 })));
    const slider = page.locator('#time');
    expect(await page.locator('#time-said').textContent()).toBe('2 h 00 min');
    await slider.focus();
    await page.keyboard.press('Home');
    await expect.poll(() => page.locator('#time-said').textContent()).toBe('0 s');
    const first = await page.locator('.now').allTextContents();
    expect(await page.locator('#still-said').textContent()).toBe('0 s');
    await page.keyboard.press('End');
    await expect.poll(() => page.locator('#time-said').textContent()).toBe('4 h 00 min');
    const last = await page.locator('.now').allTextContents();
    expect(Number(first[0])).toBeLessThan(0.05);
    expect(Number(last[1])).toBeGreaterThan(0.95);
    expect(await slider.getAttribute('aria-valuetext')).toBe('4 h 00 min');
    expect(await page.locator('.still img:visible').count()).toBe(1);
    await page.close();
  });

  it.each([2, 4])('prints on two pages, %i rows of six vials', async (rows) => {
    const page = await open(reportPage(await exampleAnalysis({ rows })));
    expect(await pagesOf(page)).toBe(2);
    await page.close();
  });

  it('prints 18 samples against four references and 19 checks on two pages, and all of them stay on screen', async () => {
    const analysis = await crowdedAnalysis();
    const { checks, samples } = analysis.result;
    expect([checks.length, samples.length, samples.flatMap(({ against }) => against).length]).toEqual([19, 18, 72]);
    const page = await open(reportPage(analysis));
    expect(await pagesOf(page)).toBe(2);
    const lightMessage = page.getByText('The light stepped by 3 %').last();
    const camera = page.getByText('The camera did not move.');
    const ratios = page.locator('.ratios');
    expect([await camera.isVisible(), await ratios.isVisible()]).toEqual([true, false]);
    await page.emulateMedia({ media: 'print' });
    expect([await camera.isVisible(), await ratios.isVisible(), await lightMessage.isVisible()]).toEqual([
      ...[false, true, true],
    ]);
    expect(await ratios.locator('tbody tr').count()).toBe(18);
    expect(await ratios.locator('tbody td').count()).toBe(72);
    expect(await page.getByText('16 passed').locator('..').textContent()).toContain(
      'positives turned, negatives still',
    );
    await page.close();
  });

  it('prints long labels, long notes and many events on two pages, and the screen has them whole', async () => {
    const crowded = await crowdedAnalysis();
    const long = (at: number): string => hostileLabels[at % hostileLabels.length]!;
    const notes = 'long notes about the bench <b>of that night</b> '.repeat(100);
    const events = Array.from({ length: 40 }, (_, at) => ({ atRunS: 300 * at, what: long(at), region: null }));
    const result = {
      ...crowded.result,
      run: { ...crowded.result.run, record: { operator: long(4), reagent_lot: long(2), notes } },
      vials: crowded.result.vials.map((vial, at) => ({ ...vial, label: long(at) })),
      samples: crowded.result.samples.map((sample, at) => ({ ...sample, label: long(at) })),
    };
    const { cautions } = await loadReaction('shared/reactions/acid-dichromate.json');
    const page = await open(reportPage({ ...crowded, cautions, result, run: { ...crowded.run, events } }));
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    const fewer = { ...result, samples: result.samples.slice(0, 8) };
    const roomy = await open(reportPage({ ...crowded, cautions, result: fewer, run: { ...crowded.run, events } }));
    expect([await pagesOf(page), await pagesOf(roomy)]).toEqual([2, 2]);
    await roomy.close();
    const cut = page.locator('.answer .who').filter({ hasText: 'WWW' }).first();
    const hidden = async (): Promise<number> => cut.evaluate((one) => one.scrollWidth - one.clientWidth);
    expect(await cut.textContent()).toContain('W'.repeat(200));
    expect(await hidden()).toBe(0);
    expect(await page.locator('.events li').filter({ visible: true }).count()).toBe(40);
    expect(await page.locator('dd').filter({ hasText: 'long notes' }).textContent()).toBe(notes);
    await page.emulateMedia({ media: 'print' });
    expect(await hidden()).toBeGreaterThan(0);
    expect(await page.locator('.events li').filter({ visible: true }).count()).toBe(13);
    await page.close();
  });

  it.each([768, 390])('has the whole answer in view at %i pixels', async (width) => {
    const page = await open(reportPage(await crowdedAnalysis()), { viewport: { width, height: 900 } });
    const hidden = await page.locator('.scroll').evaluate((one) => one.scrollWidth - one.clientWidth);
    expect(hidden).toBeLessThanOrEqual(0);
    await page.close();
  });

  it('keeps a headline of unbreakable names inside the page', async () => {
    const page = await open(reportPage(await exampleAnalysis({ frames: 9, labels: ['W'.repeat(80)] })));
    expect(await page.locator('.count').textContent()).toContain('WWWW…');
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    await page.close();
  });
});
