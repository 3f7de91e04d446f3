import { rmSync } from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { writeSimulatedRun } from '../../src/cli/write-simulated-run.ts';
import { loadRun } from '../../src/files/index.ts';
import { openAccess, openSession, startRigServer } from '../../src/rig-page/index.ts';
import { analysed, benchFolder, scenario } from '../end-to-end/rack.ts';
import { launchBrowser } from '../support/browser.ts';
import { builtPage } from './serve.ts';

const bench = benchFolder();
let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

/** Goes on by Tab until this element has the focus, as a person without a pointer does. */
async function tabTo(page: Page, id: string, key: 'Tab' | 'Shift+Tab' = 'Tab'): Promise<void> {
  for (let presses = 0; presses < 200; presses += 1) {
    if ((await page.evaluate(() => document.activeElement?.id)) === id) return;
    await page.keyboard.press(key);
  }
  throw new Error(`${id} is not reached by Tab`);
}

it('from a film alone to outcomes, by the keyboard alone: found, taken, named, timed, saved, analysed', async () => {
  const folder = bench('keys');
  await writeSimulatedRun({ ...scenario, media: { ...scenario.media, kind: 'h264', crf: 18 } }, folder, {
    comment: 'a test',
  });
  const film = path.join(folder, 'film.mp4');
  const rigFile = path.join(folder, 'rig.json');
  // Only the film is left.
  for (const name of ['rig.json', 'run.yaml']) rmSync(path.join(folder, name));
  const access = await openAccess(film);
  const server = await startRigServer(
    {
      access,
      start: await openSession(access.facts, { sourceFile: film, rigFile }, null),
      folder: { rigFile, own: new Map() },
      place: folder,
      saved: () => undefined,
    },
    { assets: await builtPage() },
  );
  const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  await page.goto(server.url);
  await page.getByText('Found: 6 vials').waitFor();
  await tabTo(page, 'take-all');
  await page.keyboard.press('Enter');
  // The first label has the focus; Enter goes down.
  const labels = ['reagent only', '1-butanol', 'tert-butanol', 'tert-butanol', 'tert-butanol', 'recovered lot 3'];
  for (const label of labels) {
    await page.keyboard.type(label);
    await page.keyboard.press('Enter');
  }
  for (const [id, first] of [
    ['A1', 'b'],
    ['A2', 'p'],
    ['A3', 'n'],
    ['B1', 'n'],
    ['B2', 'n'],
  ] as const) {
    await tabTo(page, `vial-role-${id}`, id === 'A1' ? 'Shift+Tab' : 'Tab');
    await page.keyboard.type(first);
  }
  await page.keyboard.press('Control+s');
  await page.waitForFunction(() => document.activeElement?.id === 'run-timing-value');
  await page.keyboard.type('5 min');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Control+s');
  await page.getByText('vialapse analyse').waitFor();
  await page.close();
  server.close();
  await access.close();

  const runFile = path.join(folder, 'run.yaml');
  const run = await loadRun(runFile);
  expect(run.vials.map(({ role }) => role)).toEqual([
    'blank',
    'positive',
    'negative',
    'negative',
    'negative',
    'sample',
  ]);
  expect(run.vials.map(({ label }) => label)).toEqual(labels);
  const { result } = (await analysed(runFile)).analysis;
  const [sample] = result.samples;
  expect(sample).toMatchObject({ label: 'recovered lot 3', outcome: 'reacted' });
}, 120_000);
