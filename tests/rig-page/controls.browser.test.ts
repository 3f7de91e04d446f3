import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser } from '../support/browser.ts';
import { serveDrawn } from './serve.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

/** What axe finds now, its target sizes (24 px, WCAG 2.2) asked for by name. */
const violations = (page: Page): Promise<string[]> =>
  page.evaluate(async (values) => {
    type Found = { violations: { id: string; nodes: { html: string }[] }[] };
    const { axe: tool } = globalThis as unknown as { axe: { run: (where: Document, how: object) => Promise<Found> } };
    const how = { runOnly: { type: 'tag', values }, rules: { 'target-size': { enabled: true } } };
    const found = await tool.run(document, how);
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`);
  }, tags);

/** Controls smaller than 24 px either way; ranges and what is hidden left out. */
const small = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('button, select, input:not([type=range]), textarea')].flatMap((one) => {
      const { width, height } = one.getBoundingClientRect();
      return width === 0 || (width >= 24 && height >= 24) ? [] : [`${one.id} ${one.textContent} ${width} x ${height}`];
    }),
  );

describe('the controls for many vials, the chart, the corners and finding', () => {
  it.each([
    [1280, 720],
    [820, 1180],
  ] as const)('pass axe in every state and do what they say, %d x %d', async (width, height) => {
    const served = await serveDrawn();
    const page = await browser.newPage({ viewport: { width, height }, bypassCSP: true });
    await page.goto(served.server.url);
    await page.locator('#stage').waitFor();
    await page.evaluate(axe);
    const sound = async (page: Page, state: string): Promise<void> => {
      expect(await violations(page), state).toEqual([]);
      expect(await small(page), state).toEqual([]);
      const folder = process.env['VIALAPSE_SHOTS'];
      if (folder !== undefined) await page.screenshot({ path: `${folder}/${width}-${state.replaceAll(' ', '-')}.png` });
    };
    await page.getByRole('button', { name: 'Find vials' }).click();
    await page.getByText('Found: 12 vials').waitFor();
    await sound(page, 'proposals');
    await page.getByRole('button', { name: 'Take all' }).click();
    await sound(page, 'fill bar');

    await page.getByRole('button', { name: 'Labels from a list…' }).click();
    await sound(page, 'list of labels');
    await page.locator('#label-list').fill('reagent only\tblank\nclean\tnegative\n\nlot 07\nlot 07');
    await page.getByRole('button', { name: 'Fill in', exact: true }).click();
    expect(await page.locator('#vial-label-A2').inputValue()).toBe('clean');
    expect(await page.locator('#vial-role-A1').inputValue()).toBe('blank');
    await page.locator('#dosed-step').fill('often');
    await page.getByRole('button', { name: 'Fill times' }).click();
    expect(await page.locator('#dosed-step').getAttribute('aria-invalid')).toBe('true');
    await page.locator('#dosed-step').fill('15 s');
    await page.getByRole('button', { name: 'Fill times' }).click();
    expect(await page.locator('#vial-added-B6').inputValue()).toBe('165');
    await page.getByRole('button', { name: 'Group equal labels' }).click();
    const groups = await Promise.all(['A4', 'A5'].map((id) => page.locator(`#vial-group-${id}`).inputValue()));
    expect(groups[0]).not.toBe('');
    expect(groups[1]).toBe(groups[0]);

    await page.locator('#stage').focus();
    await page.keyboard.press('Control+a');
    await sound(page, 'several vials');

    await page.getByRole('button', { name: 'Chart', exact: true }).click();
    await sound(page, 'chart');
    await page.locator('#chart-columns').fill('5');
    await page.locator('#stage').focus();
    await page.keyboard.press('c');
    await page.keyboard.press('Shift+ArrowLeft');
    await page.getByRole('button', { name: 'Remove chart' }).click();
    expect(await page.locator('#chart-columns').isVisible()).toBe(false);

    await page.getByRole('button', { name: 'Polygon' }).click();
    await page.keyboard.press('Enter');
    const x = Number(await page.locator('#place-x').inputValue());
    await page.keyboard.press('c');
    await page.keyboard.press('Shift+ArrowLeft');
    expect(Number(await page.locator('#place-x').inputValue())).toBeCloseTo(x - 10, 6);
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Escape');
    await page.keyboard.press('Delete');

    await page.locator('#run-timing-value').fill('20');
    await page.keyboard.press('Control+s');
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    await sound(page, 'saved');
    await page.close();
    served.server.close();

    const saved = readFileSync(path.join(served.folder, 'run.yaml'), 'utf8');
    const again = await serveDrawn({ folder: served.folder });
    const second = await browser.newPage({ viewport: { width, height }, bypassCSP: true });
    await second.goto(again.server.url);
    await second.locator('#vial-label-A3').fill('1-butanol');
    await second.keyboard.press('Control+s');
    await second.getByRole('button', { name: 'Replace it' }).waitFor();
    await second.evaluate(axe);
    await sound(second, 'replace');
    await second.getByRole('button', { name: 'Cancel' }).click();
    expect(readFileSync(path.join(served.folder, 'run.yaml'), 'utf8')).toBe(saved);
    await second.getByRole('button', { name: 'Keys' }).click();
    await sound(second, 'keys');
    await second.close();
    again.server.close();
  });

  it('gives way, when it looks for vials by itself, to a person who lays them out meanwhile', async () => {
    const served = await serveDrawn({ find: true });
    const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
    let answer = (): void => {};
    const laidOut = new Promise<void>((resolve) => (answer = resolve));
    await page.route('**/find', async (route) => {
      await laidOut;
      await route.continue();
    });
    await page.goto(served.server.url);
    await page.getByRole('button', { name: 'Rack', exact: true }).click();
    answer();
    await page.getByRole('button', { name: 'Find vials' }).and(page.locator(':enabled')).waitFor();
    expect(await page.getByRole('button', { name: 'Take all' }).isVisible()).toBe(false);
    expect(await page.getByRole('button', { name: 'Place 12 regions' }).isVisible()).toBe(true);
    await page.close();
    served.server.close();
  });
});
