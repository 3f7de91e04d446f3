import type { Page } from 'playwright-core';
import { drawnSize } from './drawn-rack.ts';

/** Where a point of the frame is on the screen while the whole frame is shown. */
export async function onScreen(page: Page, x: number, y: number): Promise<readonly [number, number]> {
  const frame = page.locator('.stage .frame').first();
  const { left, top, zoom } = await frame.evaluate((shown, width) => {
    const box = shown.getBoundingClientRect();
    return { left: box.x, top: box.y, zoom: box.width / width };
  }, drawnSize.width);
  return [left + x * zoom, top + y * zoom];
}

/** Drags from one point of the frame to another with the mouse. */
export async function drag(page: Page, from: readonly [number, number], to: readonly [number, number]): Promise<void> {
  const [start, end] = [await onScreen(page, ...from), await onScreen(page, ...to)];
  await page.mouse.move(...start);
  await page.mouse.down();
  await page.mouse.move((start[0] + end[0]) / 2, (start[1] + end[1]) / 2);
  await page.mouse.move(...end);
  await page.mouse.up();
}
