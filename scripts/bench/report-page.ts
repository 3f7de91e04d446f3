/**
 * `node --import tsx scripts/bench/report-page.ts REPORT_FOLDER [--out FILE]` (a run to make first: `vialapse simulate
 * scripts/bench/long-night.yaml --out night && vialapse analyse night/run.yaml`): how large a report's page is, how soon it
 * shows something and what one step of scrubbing costs, in headless Chromium, as it is and with the processor slowed four
 * times. Writes reports/report-page.md.
 */
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import type { Browser, CDPSession, Page } from 'playwright-core';
import type { Result } from '../../src/model/result.ts';
import { upperMedian } from '../../src/numeric/median.ts';
import { launchBrowser } from '../../tests/support/browser.ts';

const root = path.resolve(import.meta.dirname, '..', '..');
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { out: { type: 'string', default: path.join(root, 'reports', 'report-page.md') } },
});
const [folder] = positionals;
if (folder === undefined) throw new Error('name the folder of a report, made by "vialapse analyse"');
const file = path.resolve(folder, 'report.html');

const loads = 7;
const steps = 120;

interface Looked {
  /** Milliseconds from the start of navigation to the first paint with content, a load each. */
  readonly paintMs: readonly number[];
  /** Milliseconds of the page's main thread (script, style, layout, paint records) for a step of the slider, on average. */
  readonly stepMs: number;
  /** Milliseconds from a step to the end of the frame that shows it, sorted; a frame of 60 a second takes 16.7. */
  readonly frameMs: readonly number[];
  readonly elements: number;
}

async function look(browser: Browser, slowed: number): Promise<Looked> {
  const paintMs: number[] = [];
  let scrubbed: Omit<Looked, 'paintMs'> | null = null;
  for (let load = 0; load < loads; load += 1) {
    const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
    const session = await page.context().newCDPSession(page);
    await session.send('Emulation.setCPUThrottlingRate', { rate: slowed });
    await page.goto(`file://${file}`, { waitUntil: 'load' });
    paintMs.push(await firstPaint(page));
    if (load === loads - 1) scrubbed = await scrub(page, session);
    await page.close();
  }
  return { paintMs, ...scrubbed! };
}

/** Told a little after it happened; the page's own policy forbids to wait for it inside. */
async function firstPaint(page: Page): Promise<number> {
  for (;;) {
    const [paint] = await page.evaluate(() =>
      performance.getEntriesByName('first-contentful-paint').map(({ startTime }) => startTime),
    );
    if (paint !== undefined) return paint;
    await page.waitForTimeout(50);
  }
}

async function scrub(page: Page, session: CDPSession): Promise<Omit<Looked, 'paintMs'>> {
  await session.send('Performance.enable');
  const spent = async (): Promise<number> =>
    1000 * (await session.send('Performance.getMetrics')).metrics.find(({ name }) => name === 'TaskDuration')!.value;
  const before = await spent();
  const frameMs = (await page.evaluate(`(async () => {
    const slider = document.getElementById('time');
    const shown = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
    const all = [];
    for (let step = 0; step < ${steps}; step += 1) {
      const from = performance.now();
      slider.value = String((step / ${steps - 1}) * Number(slider.max));
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      await shown();
      all.push(performance.now() - from);
    }
    return all.sort((first, second) => first - second);
  })()`)) as number[];
  const stepMs = ((await spent()) - before) / steps;
  return { stepMs, frameMs, elements: await page.locator('*').count() };
}

const ms = (value: number): string => value.toFixed(value < 10 ? 1 : 0);

const { vials, run } = JSON.parse(readFileSync(path.resolve(folder, 'result.json'), 'utf8')) as Result;
const load = loadavg()[0]!;
const browser = await launchBrowser();
const version = browser.version();
try {
  const rows: string[] = [];
  let elements = 0;
  for (const slowed of [1, 4]) {
    const seen = await look(browser, slowed);
    elements = seen.elements;
    const late = seen.frameMs[Math.floor(0.95 * steps)]!;
    rows.push(
      `| ${slowed === 1 ? 'as it is' : `slowed ${slowed} times`} | ${ms(upperMedian(seen.paintMs))} (${ms(Math.max(...seen.paintMs))}) | ${ms(seen.stepMs)} | ${ms(upperMedian(seen.frameMs))} (${ms(late)}) |`,
    );
  }
  const text = `# The report's page: size, first paint, scrubbing

Made by \`node --import tsx scripts/bench/report-page.ts\` on ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'} (load ${load.toFixed(1)}), headless Chromium ${version} without a graphics card.

The run “${run.name}” (\`scripts/bench/long-night.yaml\` makes one of that name) with ${vials.length} vials and ${run.frames.read} frames: its report.html has ${(statSync(file).size / 1e6).toFixed(2)} MB (aim: below 3) and ${elements} elements.

| processor | first paint, ms: median (worst) of ${loads}; aim 1000 | main thread a step of the slider, ms | step to the frame that shows it, ms: median (95 %) of ${steps}; a frame at 60 a second is 16.7 |
| --- | --- | --- | --- |
${rows.join('\n')}
`;
  writeFileSync(values.out, text);
  process.stdout.write(text);
} finally {
  await browser.close();
}
