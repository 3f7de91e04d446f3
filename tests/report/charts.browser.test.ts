import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ChartRun } from '../../src/report/chart-data.ts';
import { panelChart } from '../../src/report/charts/panel-chart.ts';
import { svgFile } from '../../src/report/charts/svg.ts';
import { lightTheme } from '../../src/report/charts/theme.ts';
import { comparisonCharts } from '../../src/report/comparison-charts.ts';
import { runOfAnalysis } from '../../src/report/run-of-analysis.ts';
import { launchBrowser } from '../support/browser.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';
import { exampleMatch } from '../support/example-match.ts';
import { hostileLabels } from '../support/hostile-labels.ts';

let browser: Browser;
let page: Page;
let run: ChartRun;
beforeAll(async () => {
  browser = await launchBrowser();
  page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
  run = runOfAnalysis(await exampleAnalysis({ frames: 25, rows: 3, labels: hostileLabels }));
});
afterAll(async () => browser.close());

const named = (name: string): ChartRun => ({ ...run, result: { ...run.result, run: { ...run.result.run, name } } });

interface Box {
  readonly said: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Every line of text as laid out, in the chart's own units. */
async function boxes(
  svg: string,
): Promise<{ readonly size: Box; readonly texts: readonly Box[]; readonly ran: unknown }> {
  await page.setContent(`<body style="margin:0">${svg.replace(/^<\?xml[^>]*>/, '')}</body>`);
  return page.evaluate(() => {
    const drawn = document.querySelector('svg')!;
    // at its own size: small text would be hinted to whole pixels
    const { width, height } = drawn.viewBox.baseVal;
    drawn.setAttribute('width', String(width));
    drawn.setAttribute('height', String(height));
    const outer = drawn.getBoundingClientRect();
    const units = drawn.viewBox.baseVal.width / outer.width;
    const box = (one: Element): Box => {
      const { x, y, width, height } = one.getBoundingClientRect();
      return {
        ...{ said: one.textContent, x: (x - outer.x) * units, y: (y - outer.y) * units },
        ...{ width: width * units, height: height * units },
      };
    };
    const texts = [...drawn.querySelectorAll('text')].map(box);
    return { size: box(drawn), texts, ran: (window as unknown as { ran?: unknown }).ran };
  });
}

/** Lines that leave the picture or lie over one another by more than their edges. */
function faults({ size, texts }: { readonly size: Box; readonly texts: readonly Box[] }): readonly string[] {
  const edge = 2;
  const outside = texts.filter(
    (one) =>
      one.x < -edge ||
      one.x + one.width > size.width + edge ||
      one.y < -edge ||
      one.y + one.height > size.height + edge,
  );
  const over = texts.flatMap((one, at) =>
    texts
      .slice(at + 1)
      .filter(
        (other) =>
          Math.min(one.x + one.width, other.x + other.width) - Math.max(one.x, other.x) > edge &&
          Math.min(one.y + one.height, other.y + other.height) - Math.max(one.y, other.y) > 4,
      )
      .map((other) => `over each other: ${one.said} | ${other.said}`),
  );
  return [...outside.map(({ said }) => `outside: ${said}`), ...over];
}

describe('charts with hostile labels, laid out by a browser', () => {
  it.each([
    { runs: 1, widthMm: 180, time: 'linear' as const },
    { runs: 1, widthMm: 60, time: 'log' as const },
    { runs: 1, widthMm: 85, time: 'linear' as const },
    { runs: 3, widthMm: 180, time: 'log' as const },
    { runs: 2, widthMm: 85, time: 'linear' as const },
  ])('$runs run(s), $widthMm mm, $time: all text inside, none over another, nothing run', async (wanted) => {
    const names = ['W'.repeat(60), 'مرحبا بالعالم', 'third rack'];
    const runs = names.slice(0, wanted.runs).map(named);
    const drawn = comparisonCharts(runs, { ...wanted, theme: 'print' });
    expect(drawn.length).toBeGreaterThanOrEqual(3);
    for (const { name, svg } of drawn) {
      const found = await boxes(svg);
      expect(found.texts.length, name).toBeGreaterThan(8);
      expect(faults(found), name).toEqual([]);
      expect(found.ran, name).toBeUndefined();
    }
  });

  it('the panel of a match', async () => {
    const { match } = await exampleMatch(hostileLabels);
    const found = await boxes(svgFile(panelChart(match!, lightTheme), lightTheme));
    expect(faults(found)).toEqual([]);
    expect(found.ran).toBeUndefined();
  });

  // Unicode Standard Annex 9: between European digits and right-to-left letters a plain line would change places.
  it('a reference keeps its name beside a right-to-left sample', async () => {
    const samples = run.result.samples.map((sample) => ({
      ...{ ...sample, label: hostileLabels[3]! },
      against: sample.against.map((pair) => ({ ...pair, reference: 'A2' })),
    }));
    const right = { ...run, result: { ...run.result, samples } };
    const { svg } = comparisonCharts([right], { widthMm: 180, time: 'linear', theme: 'light' }).at(-1)!;
    await page.setContent(svg.replace(/^<\?xml[^>]*>/, ''));
    const places = await page.evaluate(() => {
      const line = [...document.querySelectorAll('text')].find(({ textContent }) => /م.*÷/u.test(textContent))!;
      const sign = line.textContent.indexOf('÷');
      const of = (at: number): number => line.getExtentOfChar(at).x;
      return [of(line.textContent.indexOf('م')), of(sign), of(sign + 2), of(sign + 3)];
    });
    expect(places).toEqual([...places].sort((first, second) => first - second));
    expect(new Set(places).size).toBe(4);
  });
});
