import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { curvesChart } from '../../src/report/charts/curves-chart.ts';
import { svgFile } from '../../src/report/charts/svg.ts';
import { lightTheme } from '../../src/report/charts/theme.ts';
import { differenceAxis, logAxis } from '../../src/report/charts/value-axes.ts';
import { fitText, textWidth, wrapText } from '../../src/report/charts/text-width.ts';
import { timeScale } from '../../src/report/charts/time-ticks.ts';
import { chooseVials } from '../../src/report/choose-vials.ts';
import { comparisonCharts } from '../../src/report/comparison-charts.ts';
import { frameRanges } from '../../src/report/frame-ranges.ts';
import { runOfTables, type ReportTable, type ReportTables } from '../../src/report/run-of-tables.ts';
import type { Band, ChartRun } from '../../src/report/chart-data.ts';
import { writeReport, type ReportFile } from '../../src/report/write-report.ts';
import { thinIndices } from '../../src/report/thin.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const golden = path.resolve(import.meta.dirname, '../golden');
let files: readonly ReportFile[];
let run: ChartRun;
beforeAll(async () => {
  const analysis = await exampleAnalysis({ frames: 49 });
  files = writeReport(analysis);
  run = runOfTables(analysis.result, tables());
});

function table(name: string): ReportTable {
  return { text: String(files.find((file) => file.path === name)!.content), file: `x/${name}` };
}

function tables(): ReportTables {
  return { trajectory: table('trajectory.csv'), curves: table('curves.csv'), events: table('events.csv') };
}

describe('charts, as pictures reviewed by eye', () => {
  it.each(['curves', 'rates', 'differences'])('%s.svg', async (name) => {
    const svg = String(files.find((file) => file.path === `charts/${name}.svg`)!.content);
    await expect(svg).toMatchFileSnapshot(path.join(golden, `${name}.svg`));
  });

  it('several runs on a log axis', async () => {
    const slower = (extent: number): number => 0.8 * extent;
    const scaled = ({ mean, lower, upper }: Band): Omit<Band, 'timeS'> => ({
      mean: mean.map(slower),
      lower: lower.map(slower),
      upper: upper.map(slower),
    });
    const second: ChartRun = {
      ...run,
      result: { ...run.result, run: { ...run.result.run, name: 'second rack' } },
      vials: run.vials.map((vial) => ({
        ...vial,
        course: { ...vial.course, extent: vial.course.extent.map(slower) },
        fitted: vial.fitted === null ? null : { ...vial.fitted, ...scaled(vial.fitted) },
      })),
    };
    const drawn = comparisonCharts([run, second], { time: 'log', widthMm: 180, theme: 'print' });
    expect(drawn.map(({ name }) => name)).toEqual(['curves', 'rates', 'differences', 'rate-ratios']);
    for (const { name, svg } of drawn) {
      await expect(svg).toMatchFileSnapshot(path.join(golden, `two-runs-${name}.svg`));
    }
  });
});

describe('chart parts', () => {
  it('reads back from the tables what was drawn from memory', () => {
    expect(run.vials).toHaveLength(12);
    expect(run.vials[1]!.course.extent.at(-1)).toBeGreaterThan(0.95);
    expect(run.vials[0]!.course.colour[0]).toMatch(/^#d[0-9a-f]8/);
  });

  it('refuses tables that are not of this run', () => {
    const withText = (name: keyof ReportTables, text: string) => (): unknown =>
      runOfTables(run.result, { ...tables(), [name]: { text, file: `x/${name}.csv` } });
    for (const name of ['trajectory', 'curves', 'events'] as const) {
      expect(withText(name, 'a,b\r\n1,2\r\n')).toThrow(new RegExp(`x/${name}\\.csv.*columns are missing`, 's'));
    }
    const [header] = table('trajectory.csv').text.split('\r\n');
    expect(withText('trajectory', `${header}\r\n`)).toThrow(/A1 of result\.json has no row/);
    const curves = table('curves.csv').text;
    expect(withText('curves', curves.replace(/\r\nfit,A2,0,[^,]*,/, '\r\nfit,A2,0,,'))).toThrow(/A2 has a cell/);
  });

  it('draws a finished report as its own charts are: fits, bands, negatives, events', () => {
    const own = String(files.find((file) => file.path === 'charts/curves.svg')!.content);
    const again = svgFile(curvesChart([run], 1184, lightTheme), lightTheme);
    // Tables keep six digits: a coordinate (0.1 units of 1184) or a colour (256 steps) may round the other way, no more.
    const words = (svg: string): readonly string[] =>
      svg
        .replace(/#(..)(..)(..)/g, (_, ...hex: string[]) =>
          hex
            .slice(0, 3)
            .map((two) => Number.parseInt(two, 16))
            .join(' '),
        )
        .split(/(-?\d+(?:\.\d+)?)/);
    const [drawn, drawnAgain] = [words(own), words(again)];
    expect(drawnAgain).toHaveLength(drawn.length);
    const isNumber = (at: number): boolean => at % 2 === 1;
    expect(drawnAgain.filter((_, at) => !isNumber(at))).toEqual(drawn.filter((_, at) => !isNumber(at)));
    const apart = drawn.map((word, at) => (isNumber(at) ? Math.abs(Number(word) - Number(drawnAgain[at])) : 0));
    expect(Math.max(...apart)).toBeLessThanOrEqual(1);
    expect(apart.filter((difference) => difference > 1e-9).length).toBeLessThan(drawn.length / 500);
    expect(own).toContain('fit and its 95 % band');
    expect(own).toContain('negative references, 95 % band');
    expect(own).toContain('event, numbered');
  });

  it('draws the frames alone of a report written before curves were kept', () => {
    const old = runOfTables(run.result, { ...tables(), curves: null, events: null });
    expect(svgFile(curvesChart([old], 1184, lightTheme), lightTheme)).not.toMatch(/95 % band|event/);
    expect(old.vials.map(({ course }) => course)).toEqual(run.vials.map(({ course }) => course));
  });

  it('chooses vials by region, label or group and names words that choose none', () => {
    const { runs, unknown } = chooseVials([run], ['b5', 'lot-07', '1-Butanol', 'C9']);
    expect(runs[0]!.vials.map(({ result }) => result.region)).toEqual(['A2', 'B1', 'B2', 'B5']);
    expect(runs[0]!.result.samples.map(({ regions }) => regions.join())).toEqual(['B1,B2', 'B5']);
    expect(unknown).toEqual(['C9']);
  });

  it('marks unit and keeps labels apart', () => {
    expect(timeScale({ kind: 'linear', fromS: 0, toS: 14400 }, [0, 240], 5).ticks.map(({ label }) => label)).toEqual([
      '0',
      '1',
      '2',
      '3',
      '4 h',
    ]);
    expect(timeScale({ kind: 'log', fromS: 20, toS: 14400 }, [0, 240], 3).ticks.map(({ label }) => label)).toEqual([
      '1 min',
      '10 min',
      '1 h',
    ]);
    const axis = differenceAxis([-0.02, 0.9], 0.05, [0, 300]);
    const places = axis.ticks.map(({ at }) => axis.position(at));
    expect(places.slice(1).every((place, index) => place - places[index]! >= 34)).toBe(true);
    expect(axis.ticks.map(({ at }) => at)).toContain(0);
  });

  it('has room for an arrow where a ratio is unbounded', () => {
    const open = logAxis([11], [[7, null]], [0, 100], 'ratio', []);
    expect(open.position(11)).toBeLessThan(80);
  });

  it('cuts labels between whole characters', () => {
    expect(fitText('👩‍🔬👩‍🔬👩‍🔬👩‍🔬', 60)).toMatch(/^(👩‍🔬)*…$/u);
    expect(fitText('short', 200)).toBe('short');
    expect(textWidth(fitText('x'.repeat(200), 150))).toBeLessThanOrEqual(150);
    const lines = wrapText(`extent against ${'x'.repeat(80)} time since dosing`, 150);
    expect(lines.every((line) => textWidth(line) <= 150)).toBe(true);
    expect([lines[0], lines.at(-1)]).toEqual(['extent against', 'time since dosing']);
  });

  it('thins evenly with first and last, more at the beginning', () => {
    expect(thinIndices(3, 10)).toEqual([0, 1, 2]);
    const kept = thinIndices(4320, 150);
    expect([kept[0], kept.at(-1), kept.length <= 150]).toEqual([0, 4319, true]);
    expect(kept.filter((index) => index < 100).length).toBeGreaterThan(10);
  });

  it('joins neighbouring rejected frames', () => {
    const ranges = frameRanges([3, 4, 5, 9].map((index) => ({ index, reason: index < 5 ? 'dark' : 'cut' })));
    expect(ranges.map(({ frames }) => frames)).toEqual(['frames 3 to 4', 'frame 5', 'frame 9']);
  });
});
