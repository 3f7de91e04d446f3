import type { Command } from 'commander';
import { positiveNumber } from '../numbers.ts';
import type { AnalyseOptions } from '../run-analyse.ts';

/** `vialapse analyse RUN.yaml [--out DIR] [--glance] [--until SECONDS] [--parquet] [--json]` */
export function register(program: Command): void {
  program
    .command('analyse')
    .alias('analyze')
    .summary('analyses one run and writes its report folder')
    .description(
      "Measures every vial's colour over time, fits extents and rates, judges each sample against the references " +
        "in the same frame, and writes a report folder. The exit code is 3 when the run's own controls failed.",
    )
    .argument('<run>', 'a run file (vialapse/run@1)')
    .option('--out <folder>', 'the report folder (default: reports/<name> beside the run file)')
    .option('--glance', 'a quick answer from key frames only, marked as such')
    .option('--until <seconds>', "leave out frames later than this on the run's clock", positiveNumber)
    .option(
      '--history <overview>',
      'overview.json of earlier runs on this rig, which tells how much vials of one liquid differ',
    )
    .option('--parquet', 'also write trajectory.parquet, the table of trajectory.csv for programs that read Parquet')
    .option('--json', 'print the result as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse analyse lot-07/run.yaml --out reports/lot-07')
    .action(async (file: string, options: AnalyseOptions) => {
      const { runAnalyse } = await import('../run-analyse.ts');
      process.exitCode = await runAnalyse(file, options);
    });
}
