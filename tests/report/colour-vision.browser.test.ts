import { PNG } from 'pngjs';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runMark } from '../../src/report/charts/marks.ts';
import { lightTheme } from '../../src/report/charts/theme.ts';
import { matchPage } from '../../src/report/html/match-page.ts';
import { reportPage } from '../../src/report/html/page.ts';
import { trustBox } from '../../src/report/html/trust.ts';
import { overviewPage } from '../../src/report/overview-page.ts';
import type { ResultCheck } from '../../src/model/result.ts';
import { launchBrowser } from '../support/browser.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';
import { exampleMatch } from '../support/example-match.ts';
import { exampleOverview } from '../support/example-overview.ts';

const deficiencies = ['protanopia', 'deuteranopia', 'achromatopsia'] as const;

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(async () => browser.close());

/** A page as somebody with that vision sees it, by Chromium's own simulation. */
async function seen(content: string, type: (typeof deficiencies)[number]): Promise<Page> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  await page.setContent(content);
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setEmulatedVisionDeficiency', { type });
  return page;
}

/** Relative luminance (sRGB coefficients of BT.709, encoded values) of every pixel, 0..255. */
async function lightness(place: Locator): Promise<{ readonly width: number; readonly values: readonly number[] }> {
  const { width, data } = PNG.sync.read(await place.screenshot());
  const values = Array.from(
    { length: data.length / 4 },
    (_, at) => 0.2126 * data[4 * at]! + 0.7152 * data[4 * at + 1]! + 0.0722 * data[4 * at + 2]!,
  );
  return { width, values };
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Pixels that are clearly lighter in one of two marks of one size than in the other. */
async function unlike(first: Locator, second: Locator): Promise<number> {
  const [one, other] = [await lightness(first), await lightness(second)];
  return one.values.filter((value, at) => Math.abs(value - (other.values[at] ?? 0)) > 64).length;
}

async function allUnlike(marks: readonly Locator[]): Promise<readonly number[]> {
  const found: number[] = [];
  for (const [at, mark] of marks.entries()) {
    for (const other of marks.slice(at + 1)) found.push(await unlike(mark, other));
  }
  return found;
}

describe.each(deficiencies)('with %s', (type) => {
  it('outcomes differ by shape and word, fresh and spent by lightness and number', async () => {
    const page = await seen(reportPage(await exampleAnalysis({ frames: 61 })), type);
    const row = (outcome: string): Locator =>
      page
        .locator('.answer tbody tr')
        .filter({ has: page.locator(`b:text-is("${outcome}")`) })
        .first();
    const outcomes = ['reacted', 'resisted', 'undecided'];
    // a mark of 14 pixels: a tenth of it is a difference of shape
    const marks = outcomes.map((outcome) => row(outcome).locator('.outcome svg'));
    expect(Math.min(...(await allUnlike(marks)))).toBeGreaterThan(20);
    const vial = (region: string): Locator =>
      page.locator('.vial').filter({ has: page.locator(`.caption b:text-is("${region}")`) });
    const right = async (region: string): Promise<number> => {
      const { width, values } = await lightness(vial(region).locator('.glass'));
      // the last quarter of the strip, off its frame
      return mean(
        values.filter(
          (_, at) => at % width > 0.75 * width && at % width < width - 6 && at / width > 20 && at / width < 90,
        ),
      );
    };
    // A1 blank, A2 positive: one step of 20 of 255 is seen side by side (chosen)
    expect((await right('A1')) - (await right('A2'))).toBeGreaterThan(20);
    expect(await vial('A1').locator('.now').textContent()).toBe('0.00');
    expect(Number(await vial('A2').locator('.now').textContent())).toBeGreaterThan(0.9);
    await page.close();
  });

  it('trust, and runs laid over each other, differ by shape', async () => {
    const { result } = await exampleAnalysis({ frames: 9 });
    const boxes = (['pass', 'warn', 'fail'] as const).map((status) => {
      const checks = result.checks.map((check): ResultCheck => ({ ...check, status: 'pass' }));
      return trustBox({ ...result, checks: [{ ...checks[0]!, code: 'positives-turned', status }, ...checks.slice(1)] })
        .markup;
    });
    const marks = [0, 1, 2, 3].map(
      (run) =>
        `<svg class="run" width="60" height="60" viewBox="0 0 20 20">${runMark(run, 10, 10, lightTheme, '#d9902a')}</svg>`,
    );
    const root = ':root{--ink:#1a1a1a;--paper:#fff}svg{display:block}';
    const page = await seen(`<style>${root}</style>${boxes.join('')}${marks.join('')}`, type);
    const of = async (selector: string): Promise<readonly Locator[]> => page.locator(selector).all();
    expect((await page.locator('h2').allTextContents()).map((text) => text.trim())).toEqual([
      ...['Run: passed', 'Run: read with care', 'Run: do not use'],
    ]);
    expect(Math.min(...(await allUnlike(await of('.trust svg'))))).toBeGreaterThan(20);
    // three times their size: of some 440 pixels a tenth
    expect(Math.min(...(await allUnlike(await of('.run'))))).toBeGreaterThan(44);
    await page.close();
  });
});

describe('colour is only what the camera saw', () => {
  const pages: readonly (readonly [string, () => Promise<string>])[] = [
    ['report', async () => reportPage(await exampleAnalysis({ frames: 25 }))],
    ['match', async () => matchPage(await exampleMatch(), [])],
    ['overview', async () => Promise.resolve(overviewPage(exampleOverview))],
  ];
  it.each(pages)('%s: text, rules, marks and grounds are grey, light and dark', async (_, write) => {
    const page = await browser.newPage();
    await page.setContent(await write());
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      const coloured = await page.evaluate(() => {
        const camera = '.glass path, .panel circle, .panels circle, .chip, .still *, [data-seen]';
        const isGrey = (colour: string): boolean => {
          const parts = (/^rgba?\(([^)]+)\)$/.exec(colour)?.[1] ?? '0,0,0').split(/[ ,/]+/).map(Number);
          return Math.max(...parts.slice(0, 3)) - Math.min(...parts.slice(0, 3)) <= 4;
        };
        const keys = ['color', 'backgroundColor', 'borderTopColor', 'fill', 'stroke'] as const;
        return [...document.querySelectorAll('body, body *')]
          .filter((one) => !one.matches(camera) && !one.matches('input, .wide svg[role=img] rect'))
          .filter((one) => keys.some((key) => !isGrey(getComputedStyle(one)[key])))
          .map((one) => one.outerHTML.slice(0, 80));
      });
      expect(coloured).toEqual([]);
    }
    await page.close();
  });

  it('says every verdict of a match by sign and word', async () => {
    const page = await browser.newPage();
    await page.setContent(matchPage(await exampleMatch(), []));
    const said = new Set(await page.locator('.said').allTextContents());
    expect([...said].sort()).toEqual(['= agrees', '? cannot tell', '≠ differs']);
    const cells = await page.locator('.wide svg[role=img] text').allTextContents();
    expect(['= alike', '? open', '≠ apart'].every((words) => cells.includes(words))).toBe(true);
    await page.close();
  });
});
