import path from 'node:path';
import type { Command } from 'commander';

interface DemoOptions {
  readonly json?: boolean;
  readonly match?: boolean;
}

/** The demos' scenarios, a part of the project. */
const demos = {
  analyse: {
    scenario: 'recovered-tert-butanol.yaml',
    folder: 'vialapse-demo',
    about: 'recovered lots of tert-butanol against references',
  },
  match: {
    scenario: 'aldehyde-panel.yaml',
    folder: 'vialapse-demo-match',
    about: 'lots against six references of known identity; all colours are invented',
  },
} as const;

/** `vialapse demo [DIR] [--match]` */
export function register(program: Command): void {
  program
    .command('demo')
    .summary('makes an example run, analyses it, says where the report is')
    .description(
      'Makes a film of an invented run (recovered lots of tert-butanol against reference vials; modelled, not ' +
        'photographed), analyses it like any other film, and says each outcome and where the report is.',
    )
    .argument('[folder]', 'where to write (default: "vialapse-demo", or "vialapse-demo-match")')
    .option('--match', 'make a panel of colour tests for "vialapse match" instead; its colours are invented')
    .option('--json', 'print the result as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse demo')
    .action(demo);
}

async function demo(named: string | undefined, { match, ...options }: DemoOptions): Promise<void> {
  const [
    files,
    { loadScenario },
    { createScenario },
    { camelKeys },
    { writeSimulatedRun },
    { StageLine },
    analysis,
    { terminalWidth, wrapped },
  ] = await Promise.all([
    import('../../files/index.ts'),
    import('../../files/load-scenario.ts'),
    import('../../simulate/index.ts'),
    import('../camel-keys.ts'),
    import('../write-simulated-run.ts'),
    import('../stage-progress.ts'),
    import('../run-analyse.ts'),
    import('../printable.ts'),
  ]);
  const verb = match === true ? 'match' : 'analyse';
  const folder = named ?? demos[verb].folder;
  const file = path.join(files.projectRoot, 'shared', 'demo', demos[verb].scenario);
  const scenario = createScenario(camelKeys(await loadScenario(file)));
  process.stderr.write(
    `${wrapped(`Drawing ${scenario.vials.length} vials, ${scenario.frameCount} pictures: ${demos[verb].about}.`, terminalWidth(), '  ')}\n`,
  );
  const line = new StageLine();
  const { runFile } = await writeSimulatedRun(scenario, folder, {
    comment:
      'The demo run, made by "vialapse demo": pictures from the physical model, not photographed.\n' +
      'What really happened in each vial is in truth.json; the analysis never reads it.',
    onFrame: (done, total) => line.show({ stage: 'drawing', done, total }),
  }).finally(() => line.clear());
  process.stderr.write(`Reading it: vialapse ${verb} ${files.shownPath(runFile)}\n\n`);
  if (verb === 'match') {
    const { runMatch } = await import('../run-match.ts');
    process.exitCode = await runMatch(runFile, options);
  } else process.exitCode = await analysis.runAnalyse(runFile, options);
}
