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
    .summary('several runs side by side, and the overview of all')
    .description(
      'Analyses several runs, each in a process of its own, and writes overview.html, .csv and .json: a row a run. ' +
        'Cut off, it continues: reports that still belong to their files are left as they are. A run that fails stops ' +
        'no other. Ends with the worst of its runs in the order 1, 2, 3, 0.',
    )
    .argument('[runs...]', 'run files, or patterns such as "runs/*/run.yaml"')
    .option('--out <folder>', 'the folder of the reports, one folder a run name (default: reports)')
    .option('--jobs <number>', 'runs at a time (default: 1; a run keeps two cores busy)', wholeNumber)
    .option('--shard <i/n>', 'only part i of n, the same on every machine')
    .option(
      '--collect',
      'only the overview, over the reports in the folder; runs that are named and have none are told',
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
