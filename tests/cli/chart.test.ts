import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { PNG } from 'pngjs';
import { beforeAll, describe, expect, it } from 'vitest';
import { writeReport } from '../../src/report/write-report.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';
import { bench, vialapse } from './bench.ts';

const folder = bench();
const first = path.join(folder, 'lot-07');
const second = path.join(folder, 'lot-08');
beforeAll(async () => {
  const analysis = await exampleAnalysis({ frames: 25 });
  for (const [report, name] of [
    [first, 'first rack'],
    [second, 'second rack'],
  ] as const) {
    const result = { ...analysis.result, run: { ...analysis.result.run, name } };
    for (const { path: file, content } of writeReport({ ...analysis, result })) {
      mkdirSync(path.dirname(path.join(report, file)), { recursive: true });
      writeFileSync(path.join(report, file), content);
    }
  }
});

async function charts(...argv: string[]): Promise<{ readonly files: string[]; readonly out: string }> {
  const out = path.join(folder, `charts-${readdirSync(folder).length}`);
  const { code, out: said } = await vialapse('chart', ...argv, '--out', out, '--json');
  expect(code).toBe(0);
  return { files: (JSON.parse(said) as { files: string[] }).files.map((file) => path.basename(file)), out };
}

const names = ['curves', 'rates', 'differences', 'rate-ratios'];

/** Share of pixels unlike the paper in a box, chart units. */
function inked(png: PNG, unitsWide: number, box: { x: number; y: number; width: number; height: number }): number {
  const scale = png.width / unitsWide;
  let dark = 0;
  let all = 0;
  for (let y = Math.floor(box.y * scale); y < (box.y + box.height) * scale; y += 1) {
    for (let x = Math.floor(box.x * scale); x < (box.x + box.width) * scale; x += 1) {
      all += 1;
      if (png.data[4 * (y * png.width + x)]! < 128) dark += 1;
    }
  }
  return dark / all;
}

describe('vialapse chart', () => {
  it('writes SVG files of the width asked for', async () => {
    const { files, out } = await charts(first, '--width-mm', '120', '--theme', 'print');
    expect(files).toEqual(names.map((name) => `${name}.svg`));
    for (const file of files) {
      const svg = readFileSync(path.join(out, file), 'utf8');
      expect(svg).toMatch(/^(<\?xml[^>]*>\s*)?<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
      expect(svg).toMatch(/<svg [^>]*width="120mm"/);
    }
  });

  it('takes a file name as --out for a misunderstanding, and writes nothing', async () => {
    const file = path.join(folder, 'figure.png');
    const { code, err } = await vialapse('chart', first, '--out', file);
    expect(code).toBe(2);
    expect(err.replace(/\s+/g, ' ')).toContain(`--out ${folder} --format png`);
    expect(existsSync(file)).toBe(false);
  });

  it('writes PNG at 300 dots an inch with the text really drawn', async () => {
    const { files, out } = await charts(first, '--format', 'png');
    expect(files).toEqual(names.map((name) => `${name}.png`));
    const png = PNG.sync.read(readFileSync(path.join(out, 'rates.png')));
    expect(png.width).toBe(Math.round((180 / 25.4) * 300));
    const unitsWide = 180 * 4.9;
    // The title and the first vial's name stand at the left edge; right of the title's end the paper is empty.
    expect(inked(png, unitsWide, { x: 0, y: 2, width: 150, height: 12 })).toBeGreaterThan(0.1);
    expect(inked(png, unitsWide, { x: 0, y: 38, width: 100, height: 14 })).toBeGreaterThan(0.08);
    expect(inked(png, unitsWide, { x: 300, y: 2, width: 150, height: 12 })).toBe(0);
  });

  it('writes PDF with its fonts embedded', async () => {
    const { files, out } = await charts(first, '--format', 'pdf', '--width-mm', '100');
    expect(files).toEqual(names.map((name) => `${name}.pdf`));
    const pdf = readFileSync(path.join(out, 'curves.pdf')).toString('latin1');
    expect(pdf.startsWith('%PDF-')).toBe(true);
    expect(pdf).toMatch(/\/BaseFont \/[A-Z]{6}\+DejaVuSans/);
    expect(pdf).toContain('/FontFile2');
    const [, width] = /\/MediaBox \[0 0 ([\d.]+)/.exec(pdf) ?? [];
    expect(Number(width)).toBeCloseTo((100 / 25.4) * 72, 0);
  });

  it('lays two runs over each other, chosen vials only, on a log axis', async () => {
    const { out } = await charts(first, second, '--vials', '1-butanol,lot-07', '--time', 'log');
    const curves = readFileSync(path.join(out, 'curves.svg'), 'utf8');
    expect(curves).toContain('logarithmic');
    expect(curves).toContain('>1 A2 · 2 A2<');
    expect(curves).toContain('>1 B1 · 1 B2 · 2 B1 · 2 B2<');
    expect(curves).toContain('second rack');
    expect(curves).not.toContain('reagent only');
    const differences = readFileSync(path.join(out, 'differences.svg'), 'utf8');
    expect(differences.match(/recovered lot 07/g)).toHaveLength(2);
  });

  it('says that a chart is taller than a page, and which letters the fonts of png and pdf may lack', async () => {
    const narrow = await vialapse('chart', first, '--width-mm', '60', '--out', path.join(folder, 'narrow'));
    expect(narrow.err.replaceAll(/\s+/g, ' ')).toMatch(/curves\.svg is \d{3,4} mm tall: choose vials with --vials/);
    const wide = await vialapse('chart', first, '--out', path.join(folder, 'wide'));
    expect(wide.err).not.toMatch(/tall|boxes/);
    const result = JSON.parse(readFileSync(path.join(first, 'result.json'), 'utf8')) as { vials: { label: string }[] };
    const third = path.join(folder, 'lot-09');
    mkdirSync(third);
    for (const file of ['trajectory.csv', 'curves.csv', 'events.csv', 'rates.csv', 'datapackage.json'])
      writeFileSync(path.join(third, file), readFileSync(path.join(first, file)));
    result.vials[0]!.label = '日本語 🧪 α مرحبا';
    writeFileSync(path.join(third, 'result.json'), JSON.stringify(result));
    for (const format of ['png', 'pdf']) {
      const { code, err } = await vialapse('chart', third, '--format', format, '--out', path.join(folder, 'third'));
      expect([code, err]).toEqual([0, expect.stringContaining(`the fonts for ${format} may have no 日 本 語 🧪:`)]);
      expect(err.split('\n').filter((line) => line.length > 80)).toEqual([]);
    }
  });

  it('says what is wrong with a folder that is no report, and writes nothing', async () => {
    const empty = path.join(folder, 'empty');
    mkdirSync(empty);
    const out = path.join(folder, 'never');
    const { code, err } = await vialapse('chart', empty, '--out', out);
    expect(code).toBe(2);
    expect(err).toMatch(/this is not a report folder/);
    expect(err).toMatch(/result\.json and trajectory\.csv/);
    expect(existsSync(out)).toBe(false);
  });

  it('suggests the nearest name for an unknown vial, and refuses other widths and formats', async () => {
    const unknown = await vialapse('chart', first, '--vials', '1-butanl', '--out', path.join(folder, 'never'));
    expect([unknown.code, unknown.err.includes('did you mean "1-butanol"')]).toEqual([2, true]);
    expect((await vialapse('chart', first, '--width-mm', '5')).code).toBe(2);
    expect((await vialapse('chart', first, '--format', 'gif')).code).toBe(2);
    expect(existsSync(path.join(folder, 'never'))).toBe(false);
  });
});
