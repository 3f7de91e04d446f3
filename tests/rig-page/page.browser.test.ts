import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadRun } from '../../src/files/index.ts';
import { launchBrowser } from '../support/browser.ts';
import { drawnSize, liquidOf } from './drawn-rack.ts';
import { drag, onScreen } from './on-screen.ts';
import { serveDrawn, type Served } from './serve.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

interface Opened {
  readonly page: Page;
  readonly served: Served;
  readonly faults: string[];
  readonly hosts: Set<string>;
}

async function open(options: Parameters<typeof serveDrawn>[0] = {}, context = {}): Promise<Opened> {
  const served = await serveDrawn(options);
  const page = await browser.newPage({ viewport: { width: 1280, height: 720 }, bypassCSP: true, ...context });
  const faults: string[] = [];
  const hosts = new Set<string>();
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
  page.on('request', (request) => hosts.add(new URL(request.url()).host));
  await page.goto(served.server.url);
  await page.locator('#stage').waitFor();
  return { page, served, faults, hosts };
}

const [first, last] = [liquidOf(0, 0), liquidOf(1, 5)];
/** Inside of the liquid, clear of the glass. */
const inset = 6;
const corners = [
  [first.x + 20, first.y + inset],
  [last.x + last.width - inset, first.y + inset],
  [last.x + last.width - inset, last.y + last.height - inset],
  [first.x + 20, last.y + last.height - inset],
] as const;
/** As `startingCorners` lays them for two rows. */
const startX = [drawnSize.width * 0.15, drawnSize.width * 0.85] as const;
const startY = [drawnSize.height * 0.26, drawnSize.height * 0.74] as const;
const startCorners = [
  [startX[0], startY[0]],
  [startX[1], startY[0]],
  [startX[1], startY[1]],
  [startX[0], startY[1]],
] as const;

async function layRack(page: Page): Promise<void> {
  for (const [index, from] of startCorners.entries()) await drag(page, from, corners[index]!);
  await page.locator('#rack-width').fill('28');
  await page.locator('#rack-height').fill('35');
  await page.getByRole('button', { name: 'Place 12 regions' }).click();
}

const violations = (page: Page): Promise<string[]> =>
  page.evaluate(async () => {
    const { axe: tool } = globalThis as unknown as {
      axe: {
        run: (where: Document, how: object) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
      };
    };
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    const found = await tool.run(document, { runOnly: { type: 'tag', values: tags } });
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`);
  });

describe('the page in a browser', () => {
  it('goes from a film to a rig and run that load: lay, nudge, rename, undo, name, save', async () => {
    const { page, served, faults, hosts } = await open();
    await layRack(page);
    await page.locator('table.vials tbody tr').nth(11).waitFor();
    await page.waitForFunction(() => document.querySelectorAll('.strip rect[fill]').length === 12 * 22);

    await page.locator('#stage').focus();
    await page.keyboard.press('.');
    const before = Number(await page.locator('#place-x').inputValue());
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Shift+ArrowRight');
    expect(Number(await page.locator('#place-x').inputValue())).toBeCloseTo(before + 11, 6);
    await page.keyboard.press('Control+z');
    expect(Number(await page.locator('#place-x').inputValue())).toBeCloseTo(before, 6);

    await page.keyboard.press('F2');
    await page.keyboard.type('left');
    await page.keyboard.press('Enter');
    expect(await page.locator('#vial-label-left').count()).toBe(1);
    await page.getByRole('button', { name: 'Undo' }).click();
    expect(await page.locator('#vial-label-A1').count()).toBe(1);

    await page.getByRole('button', { name: 'Save' }).click();
    await page.waitForFunction(() => document.activeElement?.id === 'run-timing-value');
    await page.keyboard.type('20 s');
    await page.locator('#run-read-at').fill('10 min');
    await page.locator('#vial-label-A1').click();
    for (const label of ['reagent only', '1-butanol', 'clean tert-butanol', 'lot 07', '']) {
      await page.keyboard.type(label);
      await page.keyboard.press('Enter');
    }
    await page.locator('#vial-role-A1').selectOption('blank');
    await page.locator('#vial-role-A2').selectOption('positive');
    await page.locator('#vial-role-A3').selectOption('negative');
    await page.locator('#vial-added-A1').fill('0');
    await page.locator('#vial-added-A2').fill('10');
    await page.keyboard.press('Control+d');
    await page.locator('#vial-expect-A4').selectOption('resists');
    await page.keyboard.press('Control+s');
    await page.getByText('vialapse analyse').waitFor();

    const run = await loadRun(path.join(served.folder, 'run.yaml'));
    expect(run.vials).toHaveLength(12);
    expect(run.vials[11]).toMatchObject({ region: 'B6', label: 'B6', role: 'sample', addedRunS: 110 });
    expect(run.vials[3]).toMatchObject({ label: 'lot 07', expect: 'resists', addedRunS: 30 });
    expect(run).toMatchObject({ readAtS: 600, timing: { kind: 'interval', intervalS: 20 } });
    const region = run.rig.regions[0]!;
    expect(region.shape === 'rect' && region.x >= first.x && region.x + region.width <= first.x + first.width).toBe(
      true,
    );
    expect(run.rig.thumbnail).toMatch(/^data:image\/png;base64,/u);
    expect(faults).toEqual([]);
    expect([...hosts]).toEqual([`127.0.0.1:${served.server.port}`]);
    expect(page.url()).not.toContain('token');
    await page.close();
    served.server.close();
  });

  it('shows what is wrong beside the field, and takes it away once mended', async () => {
    const { page, served } = await open();
    await layRack(page);
    await page.locator('#run-timing-value').fill('often');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('"often" is not a time').first().waitFor();
    expect(await page.locator('#run-timing-value').getAttribute('aria-invalid')).toBe('true');
    await page.locator('#run-timing-value').fill('30');
    await page.locator('#vial-problems').getByText('no reference vial at all').waitFor();
    expect(await page.locator('#run-timing-value').getAttribute('aria-invalid')).toBe('false');
    // The head says it in a few words and leads to the roles; the picture stays as large as it was.
    await page.getByRole('button', { name: 'Save' }).click();
    await page
      .getByRole('status')
      .getByText(/^Not saved: [^;]*no reference vial at all, only samples$/i)
      .waitFor();
    await page.waitForFunction(() => document.activeElement?.id === 'vial-role-A1');
    expect((await page.locator('header').boundingBox())!.height).toBeLessThan(72);
    await page.locator('#vial-role-B2').selectOption('negative');
    await page.locator('#vial-problems').waitFor({ state: 'hidden' });
    expect(served.saves).toEqual([]);
    await page.close();
    served.server.close();
  });

  it('is worked by the keyboard alone', async () => {
    const { page, served } = await open();
    await page.keyboard.press('c');
    await page.keyboard.press('Shift+ArrowLeft');
    await page.keyboard.press('Escape');
    await page.keyboard.press('Enter');
    expect(await page.locator('table.vials tbody tr').count()).toBe(12);
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Delete');
    expect(await page.locator('table.vials tbody tr').count()).toBe(0);
    await page.getByRole('button', { name: 'Ellipse' }).focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Alt+Shift+ArrowRight');
    const width = Number(await page.locator('#place-w').inputValue());
    expect(width).toBeCloseTo(drawnSize.width / 20 + 10, 6);
    await page.keyboard.press('Control+d');
    expect(await page.locator('table.vials tbody tr').count()).toBe(2);
    await page.getByRole('button', { name: 'Neutral patch' }).focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    expect(await page.locator('#region-name').inputValue()).toBe('W1');
    await page.close();
    served.server.close();
  });

  it('draws by pointer: rectangle, polygon, moving and sizing, by touch as well', async () => {
    const { page, served } = await open({}, { hasTouch: true });
    await page.getByRole('button', { name: 'Rectangle' }).click();
    await drag(page, [200, 200], [260, 290]);
    const box = async (): Promise<number[]> =>
      Promise.all(['x', 'y', 'w', 'h'].map(async (key) => Number(await page.locator(`#place-${key}`).inputValue())));
    // The page draws with the next frame, which a busy machine puts off.
    const off = async (wanted: readonly number[]): Promise<number> =>
      Math.max(...(await box()).map((value, index) => Math.abs(value - wanted[index]!)));
    const near = async (wanted: readonly number[]): Promise<void> =>
      expect.poll(() => off(wanted), { timeout: 5000 }).toBeLessThan(2);
    await near([200, 200, 60, 90]);
    await drag(page, [230, 245], [330, 265]);
    await near([300, 220, 60, 90]);
    await drag(page, [360, 310], [380, 330]);
    await near([300, 220, 80, 110]);
    await page.touchscreen.tap(...(await onScreen(page, 600, 100)));
    expect(await page.locator('#region-name').isVisible()).toBe(false);
    await page.touchscreen.tap(...(await onScreen(page, 340, 270)));
    expect(await page.locator('#region-name').inputValue()).toBe('A1');
    await page.getByRole('button', { name: 'Polygon' }).click();
    for (const [x, y] of [
      [500, 300],
      [560, 300],
      [540, 380],
    ] as const) {
      await page.mouse.click(...(await onScreen(page, x, y)));
    }
    await page.keyboard.press('Enter');
    await near([500, 300, 60, 80]);
    expect(await page.locator('table.vials tbody tr').count()).toBe(2);
    await page.close();
    served.server.close();
  });

  it('proposes what was found and takes it only when told to', async () => {
    const { page, served } = await open({ find: true });
    await page.getByText('Found: 12 vials').waitFor();
    expect(await page.locator('table.vials tbody tr').count()).toBe(0);
    await page.getByRole('button', { name: 'Take all' }).click();
    expect(await page.locator('table.vials tbody tr').count()).toBe(12);
    await page.close();
    served.server.close();
  });

  it('opens what was saved, asks before replacing it, and keeps it', async () => {
    const one = await open({ find: true });
    await one.page.getByRole('button', { name: 'Take all' }).click();
    await one.page.locator('#run-timing-value').fill('20');
    await one.page.locator('#vial-role-A1').selectOption('blank');
    await one.page.keyboard.press('Control+s');
    await one.page.getByRole('button', { name: 'Go on here' }).click();
    await one.page.close();
    one.served.server.close();
    const runFile = path.join(one.served.folder, 'run.yaml');
    const original = readFileSync(runFile, 'utf8');

    const two = await open({ folder: one.served.folder });
    expect(await two.page.locator('#vial-role-A1').inputValue()).toBe('blank');
    await two.page.locator('#vial-label-A2').fill('1-butanol');
    await two.page.keyboard.press('Control+s');
    await two.page.getByRole('heading', { name: 'run.yaml is there already' }).waitFor();
    await two.page.getByRole('button', { name: 'Cancel' }).click();
    expect(readFileSync(runFile, 'utf8')).toBe(original);
    await two.page.keyboard.press('Control+s');
    await two.page.getByRole('button', { name: 'Replace it' }).click();
    await two.page.getByText('run.yaml.previous').waitFor();
    expect(readFileSync(`${runFile}.previous`, 'utf8')).toBe(original);
    expect((await loadRun(runFile)).vials[1]!.label).toBe('1-butanol');
    await two.page.close();
    two.served.server.close();
  });

  it.each([
    ['light', 1280, 720],
    ['dark', 1024, 768],
  ] as const)(
    'has nothing that axe finds (%s, %d x %d), and no sideways scrolling',
    async (colorScheme, width, height) => {
      const { page, served } = await open({}, { colorScheme, viewport: { width, height } });
      await page.evaluate(axe);
      expect(await violations(page)).toEqual([]);
      await layRack(page);
      await page.locator('#vial-label-A1').click();
      await page.waitForFunction(() => document.querySelectorAll('.strip rect[fill]').length >= 12 * 22);
      await page.getByRole('button', { name: 'Save' }).click();
      expect(await violations(page)).toEqual([]);
      const wide = await page.evaluate(
        () => document.documentElement.scrollWidth > document.documentElement.clientWidth,
      );
      expect(wide).toBe(false);
      await page.getByRole('button', { name: 'Keys' }).click();
      expect(await violations(page)).toEqual([]);
      await page.close();
      served.server.close();
    },
  );
});
