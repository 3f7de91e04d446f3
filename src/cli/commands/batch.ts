import { InvalidArgumentError, type Command } from 'commander';
import type { BatchOptions } from '../run-batch.ts';

function wholeNumber(text: string): number {
  if (!/^[1-9]\d{0,3}$/.test(text)) throw new InvalidArgumentError('Expected a whole number from 1.');
  return Number(text);
}

/** `vialapse batch RUN.yaml... [--out DIR] [--jobs N] [--shard i/n] [--collect] [--json]` */
export function register(program: Command): void {
  program
    .command('batch')
    .summary('many runs, and one overview of all')
    .description(
      'Analyses several runs, each in its own process, and writes overview.html, .csv and .json with one row for each ' +
        'run. If it is interrupted, give the same command again: it does only what is missing or has changed. A run ' +
        'that fails stops no other. The exit code is the worst of all runs, in the order 1, 2, 3, 0.',
    )
    .argument('[runs...]', 'run files, or patterns such as "runs/*/run.yaml"')
    .option('--out <folder>', 'the folder for the reports, one folder in it for each run (default: reports)')
    .option('--jobs <number>', 'runs at a time (default: 1; a run keeps two cores busy)', wholeNumber)
    .option('--shard <i/n>', 'do only part i of n; every machine divides the runs in the same way')
    .option(
      '--collect',
      'write only the overview of the reports in the folder, and say which named runs have no report',
    )
    .option('--json', 'print the overview as JSON on stdout')
    .addHelpText(
      'after',
      '\nExample:\n  vialapse batch "runs/*/run.yaml" --out reports --jobs 2\n\n' +
        'On several machines that share a disk, machine i of 4:\n' +
        '  vialapse batch "runs/*/run.yaml" --out reports --shard i/4\n' +
        '  vialapse batch "runs/*/run.yaml" --collect --out reports',
    )
    .action(async (runs: string[], options: BatchOptions) => {
      const { runBatch } = await import('../run-batch.ts');
      process.exitCode = await runBatch(runs, options);
    });
}
