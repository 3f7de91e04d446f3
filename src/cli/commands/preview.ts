import path from 'node:path';
import type { Command } from 'commander';

interface PreviewOptions {
  readonly out?: string;
  readonly json?: boolean;
}

/** `vialapse preview RUN.yaml [--out FILE.png]` */
export function register(program: Command): void {
  program
    .command('preview')
    .summary('reads everything, analyses nothing, says what is doubtful')
    .description(
      'Reads the run file, the rig and the source as analyse would, draws the regions on a frame, and says in ' +
        'plain words what is wrong or doubtful. Frames that would be left out are shown on a second picture. ' +
        'Looks at every frame of a short film, and only at key frames of a long one.',
    )
    .argument('<run>', 'a run file (vialapse/run@1)')
    .option('--out <file>', 'where the picture goes (default: <name>-preview.png beside the run file)')
    .option('--json', 'print what was found as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse preview lot-07/run.yaml --out regions.png')
    .action(async (file: string, options: PreviewOptions) => {
      const { runPreview } = await import('../run-preview.ts');
      await runPreview(file, { ...options, ...(options.out === undefined ? {} : { out: path.resolve(options.out) }) });
    });
}
