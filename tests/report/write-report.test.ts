import { createHash } from 'node:crypto';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { reportPage } from '../../src/report/html/page.ts';
import { listHash } from '../../src/report/html/record.ts';
import { writeReport } from '../../src/report/write-report.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const contentOf = (files: ReturnType<typeof writeReport>, name: string): string =>
  String(files.find((file) => file.path === name)!.content);

describe('writeReport', () => {
  it('writes every file of the contract', async () => {
    const files = writeReport(await exampleAnalysis({ frames: 61 }));
    expect(files.map((file) => file.path)).toEqual([
      'result.json',
      'trajectory.csv',
      'rates.csv',
      'curves.csv',
      'events.csv',
      'datapackage.json',
      'report.html',
      'charts/curves.svg',
      'charts/rates.svg',
      'charts/differences.svg',
    ]);
  });

  it('keeps the clock to made.at of result.json, and absolute paths out of everything', async () => {
    const analysis = await exampleAnalysis({ frames: 61 });
    const later = { ...analysis.result, made: { ...analysis.result.made, at: '2031-01-01T00:00:00Z' } };
    const first = writeReport(analysis);
    const second = writeReport({ ...analysis, result: later });
    const changed = first.filter((file, index) => file.content !== second[index]!.content);
    expect(changed.map((file) => file.path)).toEqual(['result.json']);
    expect(JSON.parse(contentOf(second, 'result.json'))).toEqual(later);
    for (const { content } of first) expect(content).not.toContain('/bench/');
  });

  // Measured: 24 vials of 400 frames give 0.82 MB, of 4,320 frames 0.79 MB (points are thinned to a fixed number), so
  // that fewer frames than a full run show as much here in a tenth of the time.
  it('stays below 3 MB for 24 vials, however many frames', async () => {
    const page = async (frames: number): Promise<number> =>
      Buffer.byteLength(reportPage(await exampleAnalysis({ rows: 4, frames })));
    const [some, more] = [await page(400), await page(800)];
    expect(more).toBeLessThan(3e6);
    expect(more / some).toBeLessThan(1.05);
  });

  it('writes the page reviewed by eye', async () => {
    const page = reportPage(await exampleAnalysis({ frames: 25 })).replace(/base64,[A-Za-z0-9+/=]{64,}/g, 'base64,…');
    await expect(page).toMatchFileSnapshot(path.resolve(import.meta.dirname, '../golden/report.html'));
  });

  it('holds the report to one file: no address to fetch from', async () => {
    const page = contentOf(writeReport(await exampleAnalysis({ frames: 61 })), 'report.html');
    expect(page).not.toMatch(/(src|href)="(?!data:)/);
    expect(page).not.toMatch(/url\(|@import/);
  });

  it('names the first few of thousands of stills, and one hash for all that sha256sum gives too', async () => {
    const analysis = await exampleAnalysis({ frames: 9 });
    const stills = Array.from({ length: 2000 }, (_, index) => ({
      path: `stills/${String(index).padStart(4, '0')}.jpg`,
      sha256: createHash('sha256').update(String(index)).digest('hex'),
    }));
    const inputs = [...analysis.result.made.inputs, ...stills];
    const result = { ...analysis.result, made: { ...analysis.result.made, inputs } };
    const page = reportPage({ ...analysis, result });
    expect(page.match(/stills\/\d{4}\.jpg/g)!.length).toBeLessThan(8);
    expect(page).toContain('stills/1999.jpg');
    expect(page).toContain(`all ${inputs.length} together`);
    const together = listHash(inputs);
    expect(page).toContain(together.slice(16));
    // Files holding the letters a and b; the hash is what `sha256sum a.jpg b.jpg | sha256sum` (GNU coreutils) prints.
    const known = [
      { path: 'a.jpg', sha256: 'ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb' },
      { path: 'b.jpg', sha256: '3e23e8160039594a33894f6564e1b1348bbd7a0088d42c4acb73eeaed59c009d' },
    ];
    expect(listHash(known)).toBe('76fd1e2e103974588b34228ebbf4c8393ecf18941bfe2cd115969be993fe3b36');
  });

  it('draws the outlines where a moved camera shows the vials', async () => {
    const analysis = await exampleAnalysis({ frames: 9 });
    const shift = { dx: 4, dy: -3, rotation: Math.PI / 180, scale: 1.01 };
    const stills = analysis.measurement.stills.map((still, at, all) =>
      at < all.length - 1 ? still : { ...still, shift },
    );
    const page = reportPage({ ...analysis, measurement: { ...analysis.measurement, stills } });
    const { width, height } = analysis.run.rig.frame;
    const [x, y] = [width / 2, height / 2];
    const moved = `translate(${x + 4} ${y - 3}) rotate(1) scale(1.01) translate(${-x} ${-y})`;
    expect(page).toContain(`<g transform="${moved}">`);
    expect(page.split(`data-moved="${moved}"`)).toHaveLength(2);
  });

  it('says the run is not to be used when its controls failed', async () => {
    const page = contentOf(writeReport(await exampleAnalysis({ frames: 61, failed: true })), 'report.html');
    expect(page).toContain('Run: do not use');
    expect(page).toContain('NOT as expected');
    expect(page).not.toContain('<b>resisted</b>');
  });

  it('survives a run of which nothing is known', async () => {
    const analysis = await exampleAnalysis({ frames: 61 });
    const unknown = analysis.measurement.frames.index.map(() => null);
    const blind = writeReport({
      ...analysis,
      negativeBand: null,
      series: analysis.series.map((series) => ({ ...series, extent: unknown, hueDeg: unknown })),
      measurement: { ...analysis.measurement, vials: [], stills: [] },
      result: {
        ...analysis.result,
        reading_window: null,
        samples: analysis.result.samples.map((sample) => ({
          ...sample,
          extent_difference: null,
          bound: null,
          level: null,
          against: [{ reference: '1-butanol', rate_ratio: null, half_time_ratio: null }],
        })),
      },
    });
    for (const { content } of blind) expect(content).not.toMatch(/NaN|undefined|Infinity/);
  });
});

it('notes once what holds for many vials alike, and repeats no name', async () => {
  const analysis = await exampleAnalysis({ frames: 9 });
  const flag = { code: 'event', message: 'The whole rack was shaken.', from_run_s: 6000, to_run_s: 6500 };
  const vials = analysis.result.vials.map((vial, index) => ({
    ...vial,
    flags: index === 1 ? [flag, { ...flag, message: `${vial.region} was removed.` }] : [flag],
  }));
  const text = reportPage({ ...analysis, result: { ...analysis.result, vials } }).replace(/\s+/g, ' ');
  expect(text.match(/The whole rack was shaken/g)).toHaveLength(1);
  expect(text).toContain('<b>all vials</b> The whole rack was shaken. (1 h 40 min to 1 h 48 min)');
  expect(text).toContain('<b>A2</b> was removed. (1 h 40 min to 1 h 48 min)');
});
