import type { Command } from 'commander';
import type { MatchCommandOptions } from '../run-match.ts';

/** `vialapse match RUN.yaml [--knowns RUN.yaml] [--out DIR] [--json]` */
export function register(program: Command): void {
  program
    .command('match')
    .summary('end-point colour tests: which known reference each sample agrees with')
    .description(
      'Compares the end colour of every sample (and with a time-lapse its whole course of colour) with references ' +
        'of known identity (role: known, identity: ...) in the same picture. It says agrees, differs or cannot tell at a ' +
        'stated risk; it never identifies a substance. Works on a single photograph too.',
    )
    .argument('<run>', 'a run file (vialapse/run@1)')
    .option(
      '--knowns <run>',
      'take the references from a run of another day; both runs need the same neutral patch, or a chart',
    )
    .option('--out <folder>', 'the report folder (default: "reports/<name> match" beside the run file)')
    .option('--json', 'print the result as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse match panel/run.yaml --out reports/panel')
    .action(async (file: string, options: MatchCommandOptions) => {
      const { runMatch } = await import('../run-match.ts');
      process.exitCode = await runMatch(file, options);
    });
}
