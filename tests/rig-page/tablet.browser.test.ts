import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser } from '../support/browser.ts';
import { unlikeGolden } from '../support/golden-picture.ts';
import { drawnSize, liquidOf } from './drawn-rack.ts';
import { serveDrawn, type Served } from './serve.ts';

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

async function open(context: object): Promise<{ page: Page; served: Served }> {
  const served = await serveDrawn();
  const page = await browser.newPage(context);
  await page.goto(served.server.url);
  await page.locator('#stage').waitFor();
  return { page, served };
}

/** The rack found, taken, named and timed: everything the page has to show. */
async function fill(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Find vials' }).click();
  await page.getByRole('button', { name: 'Take all' }).click();
  await page.locator('#run-timing-value').fill('20');
  for (const [id, role] of [
    ['A1', 'blank'],
    ['A2', 'positive'],
    ['A3', 'negative'],
  ] as const)
    await page.locator(`#vial-role-${id}`).selectOption(role);
  await page.locator('#vial-label-A4').fill('lot 07');
  await page.waitForFunction(() => document.querySelectorAll('.strip rect[fill]').length >= 12 * 22);
}

/** Where the frame's left edge and its width are on the screen: the zoom that is shown. */
const frameBox = (page: Page): Promise<{ x: number; width: number }> =>
  page
    .locator('.stage .frame')
    .first()
    .evaluate((frame) => {
      const { x, width } = frame.getBoundingClientRect();
      return { x, width };
    });

describe('the page on a tablet', () => {
  it('zooms by pinch, the points under the fingers staying there, and what the first finger began is taken back', async () => {
    const { page, served } = await open({ viewport: { width: 1024, height: 768 }, hasTouch: true });
    await fill(page);
    const stage = (await page.locator('#stage').boundingBox())!;
    const before = await frameBox(page);
    const zoom = before.width / drawnSize.width;
    const { x, y, width, height } = liquidOf(0, 2);
    const onVial = [before.x + (x + width / 2) * zoom, (await vertical(page)) + (y + height / 2) * zoom] as const;
    await page.touchscreen.tap(...onVial);
    expect(await page.locator('#region-name').inputValue()).toBe('A3');
    const place = await page.locator('#place-x').inputValue();

    const touch = await page.context().newCDPSession(page);
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...points: (readonly [number, number])[]) =>
      touch.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: points.map(([px, py], id) => ({ x: px, y: py, id })),
      });
    // One finger drags the vial; a second comes down, and both go apart to twice the distance.
    const second = [onVial[0] + 100, onVial[1]] as const;
    await send('touchStart', onVial);
    await send('touchMove', [onVial[0] - 20, onVial[1]]);
    expect(await page.locator('#place-x').inputValue()).not.toBe(place);
    await send('touchStart', [onVial[0] - 20, onVial[1]], second);
    await send('touchMove', [onVial[0] - 80, onVial[1]], second);
    await send('touchMove', [onVial[0] - 80, onVial[1]], [second[0] + 60, second[1]]);
    await send('touchEnd', [onVial[0] - 80, onVial[1]]);
    await send('touchMove', [onVial[0] - 30, onVial[1]]);
    await send('touchEnd');
    const after = await frameBox(page);
    expect(after.width / before.width).toBeCloseTo(2, 2);
    // The point between the fingers, 40 px right of the vial's middle, lies where it lay.
    const middle = onVial[0] + 40;
    expect((middle - after.x) / after.width).toBeCloseTo((middle - before.x) / before.width, 2);
    expect(await page.locator('#place-x').inputValue()).toBe(place);
    expect(stage.width).toBeGreaterThan(400);
    await page.close();
    served.server.close();
  });

  it.each([
    ['rig-page-1280.png', { viewport: { width: 1280, height: 720 }, colorScheme: 'light' }],
    ['rig-page-tablet.png', { viewport: { width: 1024, height: 768 }, colorScheme: 'dark', hasTouch: true }],
  ])('looks as reviewed by eye: %s', async (name, context) => {
    const { page, served } = await open({ ...context, reducedMotion: 'reduce' });
    await fill(page);
    await page.locator('#vial-label-A1').focus();
    await page.evaluate(() => document.body.setAttribute('style', 'caret-color: transparent'));
    await page.waitForTimeout(300);
    // Two per cent: letters of another font library; a moved panel or another colour is far more.
    expect(unlikeGolden(name, await page.screenshot())).toBeLessThan(0.02);
    await page.close();
    served.server.close();
  });

  it('shows what was saved when it is loaded anew, and replaces its own files unasked', async () => {
    const { page, served } = await open({ viewport: { width: 1280, height: 720 } });
    await fill(page);
    await page.keyboard.press('Control+s');
    await page.getByRole('button', { name: 'Go on here' }).click();
    await page.reload();
    await page.locator('#stage').waitFor();
    expect(await page.locator('table.vials tbody tr').count()).toBe(12);
    expect(await page.locator('#vial-label-A4').inputValue()).toBe('lot 07');
    expect(await page.locator('#vial-role-A2').inputValue()).toBe('positive');
    expect(await page.locator('#run-timing-value').inputValue()).toBe('20');
    await page.locator('#vial-label-A4').fill('lot 08');
    await page.keyboard.press('Control+s');
    await page.getByText('run.yaml.previous').waitFor();
    expect(served.saves.map(({ kind }) => kind)).toEqual(['saved', 'saved']);
    await page.close();
    served.server.close();
  });
});

const vertical = (page: Page): Promise<number> =>
  page
    .locator('.stage .frame')
    .first()
    .evaluate((frame) => frame.getBoundingClientRect().y);
