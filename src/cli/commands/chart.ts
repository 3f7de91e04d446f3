import path from 'node:path';
import { InvalidArgumentError, Option, type Command } from 'commander';
import { UserError } from '../../errors.ts';
import type { ChartRun } from '../../report/chart-data.ts';

interface ChartOptions {
  readonly out: string;
  readonly format: 'svg' | 'png' | 'pdf';
  readonly vials?: string;
  readonly time: 'linear' | 'log';
  readonly widthMm: number;
  readonly theme: 'light' | 'print';
  readonly json?: boolean;
}

/** `vialapse chart REPORT... [--out DIR] [--format svg|png|pdf] [--vials] [--time linear|log] [--width-mm] [--theme light|print]` */
export function register(program: Command): void {
  program
    .command('chart')
    .summary('charts that compare rates, from one report or several')
    .description(
      'Draws curves, initial rates, differences and rate ratios from finished report folders. Several ' +
        'runs are drawn in the same charts: vials of one role and label share a panel, so that references can be compared.',
    )
    .argument('<report...>', 'report folders')
    .option('--out <folder>', 'where the charts go; charts of the same name are replaced', 'charts')
    .addOption(new Option('--format <format>', 'file format').choices(['svg', 'png', 'pdf']).default('svg'))
    .option('--vials <names>', 'only these vials: regions, labels or groups, separated by commas')
    .addOption(new Option('--time <scale>', 'scale of the time axis').choices(['linear', 'log']).default('linear'))
    .option('--width-mm <mm>', 'width on paper in mm (png: 300 dots per inch)', width, 180)
    .addOption(
      new Option('--theme <theme>', 'greys for the screen, or darker ones for print')
        .choices(['light', 'print'])
        .default('light'),
    )
    .option('--json', 'print the list of files as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse chart reports/lot-07 reports/lot-08 --format pdf --out figures')
    .action(chart);
}

function width(text: string): number {
  const mm = Number(text);
  if (!(mm >= 40 && mm <= 1000)) throw new InvalidArgumentError('expected a width from 40 to 1000 mm.');
  return mm;
}

/** A run gives several charts, so `--out` is a folder: a name such as `figure.png` is taken for a misunderstanding, not for a folder. */
function refuseFileName({ out, format }: ChartOptions): void {
  const extension = /\.(svg|png|pdf)$/i.exec(out)?.[1]?.toLowerCase();
  if (extension === undefined) return;
  throw new UserError({
    code: 'out-is-a-file',
    message: 'this is the name of a file, and there are several charts',
    key: '--out',
    expected: 'a folder',
    got: out,
    hint: `--out ${path.dirname(out)}${extension === format ? '' : ` --format ${extension}`}`,
  });
}

async function chart(folders: readonly string[], options: ChartOptions): Promise<void> {
  refuseFileName(options);
  const [{ readReport }, { comparisonCharts }, { writeFileAtomically }, { chartRemarks }, { printable, wrapped }] =
    await Promise.all([
      import('../read-report.ts'),
      import('../../report/comparison-charts.ts'),
      import('../../files/write-file-atomically.ts'),
      import('../chart-remarks.ts'),
      import('../printable.ts'),
    ]);
  const all = await Promise.all(
    folders.map((folder) => readReport(folder, (words) => process.stderr.write(`${words}\n`))),
  );
  const runs = await chosen(all, options.vials);
  const draw = await converter(options, runs);
  const files: string[] = [];
  const remarks: string[] = [];
  for (const { name, svg } of comparisonCharts(runs, options)) {
    const file = path.join(options.out, `${name}.${options.format}`);
    await writeFileAtomically(file, await draw(svg, name));
    files.push(file);
    remarks.push(...chartRemarks(path.basename(file), svg, options.format));
  }
  if (options.json === true) process.stdout.write(`${JSON.stringify({ files })}\n`);
  const names = files.map((file) => path.basename(file)).join(', ');
  const said = [`${files.length} charts written to ${options.out}: ${names}`, ...remarks];
  process.stderr.write(`${said.map((words) => wrapped(printable(words), 80, '  ')).join('\n')}\n`);
}

/** How an SVG becomes the file asked for; what that needs is loaded only then. */
async function converter(
  { format, widthMm }: ChartOptions,
  runs: readonly ChartRun[],
): Promise<(svg: string, name: string) => string | Uint8Array | Promise<Uint8Array>> {
  if (format === 'svg') return (svg) => svg;
  if (format === 'png') {
    const { chartPng } = await import('../chart-png.ts');
    return (svg) => chartPng(svg, widthMm);
  }
  const { chartPdf } = await import('../chart-pdf.ts');
  const title = runs.map(({ result }) => result.run.name).join(', ');
  return (svg, name) => chartPdf(svg, widthMm, `${title}: ${name}`, runs[0]!.result.made.at);
}

async function chosen(runs: readonly ChartRun[], names: string | undefined): Promise<readonly ChartRun[]> {
  if (names === undefined) return runs;
  const [{ chooseVials, vialNames }, { nearest }] = await Promise.all([
    import('../../report/choose-vials.ts'),
    import('../../files/nearest.ts'),
  ]);
  const words = names
    .split(',')
    .map((word) => word.trim())
    .filter((word) => word !== '');
  const { runs: kept, unknown } = chooseVials(runs, words);
  const [wrong] = unknown;
  if (wrong === undefined && kept.length > 0) return kept;
  const near = wrong === undefined ? null : nearest(wrong, vialNames(runs));
  throw new UserError({
    code: 'unknown-vial',
    message: wrong === undefined ? 'no vial was named' : `no vial is called "${wrong}"`,
    key: '--vials',
    expected: 'regions, labels or groups of the reports, separated by commas',
    hint: near === null ? `such as ${vialNames(runs).slice(0, 4).join(', ')}` : `did you mean "${near}"?`,
  });
}
