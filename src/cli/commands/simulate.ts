import path from 'node:path';
import type { Command } from 'commander';

interface SimulateOptions {
  readonly out?: string;
  readonly json?: boolean;
}

/** `vialapse simulate SCENARIO.yaml [--out DIR]` */
export function register(program: Command): void {
  program
    .command('simulate')
    .summary('makes a run whose true extents are known, from the physical model')
    .description(
      'Makes a run folder from a scenario: run.yaml, rig.json, the film or stills, and truth.json with what really ' +
        'happened in every vial. The pictures are modelled, not photographed.',
    )
    .argument('<scenario>', 'a scenario file (vialapse/scenario@1)')
    .option('--out <folder>', 'where to write (default: a folder named like the scenario beside its file)')
    .option('--json', 'print the truth as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse simulate rack.yaml --out rack && vialapse analyse rack/run.yaml')
    .action(simulate);
}

async function simulate(file: string, options: SimulateOptions): Promise<void> {
  const [{ loadScenario }, { createScenario }, { camelKeys }, { writeSimulatedRun }, { StageLine }] = await Promise.all(
    [
      import('../../files/load-scenario.ts'),
      import('../../simulate/index.ts'),
      import('../camel-keys.ts'),
      import('../write-simulated-run.ts'),
      import('../stage-progress.ts'),
    ],
  );
  const { plan, ...written } = await loadScenario(file);
  const scenario = createScenario(camelKeys(written));
  const folder = options.out ?? path.join(path.dirname(file), scenario.name);
  const line = new StageLine();
  const { runFile, truth } = await writeSimulatedRun(scenario, folder, {
    comment: `Made by "vialapse simulate" from ${path.basename(file)}: modelled pictures, true extents in truth.json.`,
    planFile: plan === undefined ? null : path.resolve(path.dirname(file), plan),
    onFrame: (done, total) => line.show({ stage: 'drawing', done, total }),
  }).finally(() => line.clear());
  if (options.json === true) process.stdout.write(`${JSON.stringify(truth)}\n`);
  process.stderr.write(`${scenario.frameCount} frames of ${scenario.vials.length} vials in ${folder}\n`);
  process.stderr.write(`Next: vialapse analyse ${runFile}\n`);
}
