import path from 'node:path';
import type { Command } from 'commander';

interface DemoOptions {
  readonly json?: boolean;
}

/** The demo's scenario, a part of the project. */
const scenarioPath = ['shared', 'demo', 'recovered-tert-butanol.yaml'] as const;

/** `vialapse demo [DIR]` */
export function register(program: Command): void {
  program
    .command('demo')
    .summary('makes the demo run, analyses it, says where the report is')
    .description(
      'Makes a film of our own scenario (recovered lots of tert-butanol against reference vials, modelled, not\n' +
        'photographed), analyses it as any film, and says each outcome and where the report is.',
    )
    .argument('[folder]', 'where to write', 'vialapse-demo')
    .option('--json', 'print the result as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse demo')
    .action(demo);
}

async function demo(folder: string, options: DemoOptions): Promise<void> {
  const [files, { loadScenario }, { createScenario }, { camelKeys }, { writeSimulatedRun }, { StageLine }, analysis] =
    await Promise.all([
      import('../../files/index.ts'),
      import('../../files/load-scenario.ts'),
      import('../../simulate/index.ts'),
      import('../camel-keys.ts'),
      import('../write-simulated-run.ts'),
      import('../stage-progress.ts'),
      import('../run-analyse.ts'),
    ]);
  const scenario = createScenario(camelKeys(await loadScenario(path.join(files.projectRoot, ...scenarioPath))));
  process.stderr.write(
    `Drawing a film of ${scenario.vials.length} vials, ${scenario.frameCount} frames: recovered lots of tert-butanol ` +
      `against references.\n`,
  );
  const line = new StageLine();
  const { runFile } = await writeSimulatedRun(scenario, folder, {
    comment:
      'The demo run, made by "vialapse demo": a film from the physical model, not photographed.\n' +
      'What really happened in each vial is in truth.json; the analysis never reads it.',
    onFrame: (done, total) => line.show({ stage: 'drawing', done, total }),
  }).finally(() => line.clear());
  process.stderr.write(`Analysing it: vialapse analyse ${files.shownPath(runFile)}\n\n`);
  process.exitCode = await analysis.runAnalyse(runFile, options);
}
