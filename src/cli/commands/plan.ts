import path from 'node:path';
import type { Command } from 'commander';
import { UserError } from '../../errors.ts';

interface PlanOptions {
  readonly out?: string;
  readonly json?: boolean;
}

/** Rehearsals of a plan in the forward model; chosen: some seconds, and the spread known to about a tenth. */
const rehearsals = 4;

/** `vialapse plan BENCH.yaml [--out DIR]` */
export function register(program: Command): void {
  program
    .command('plan')
    .summary('before the run: recipe, detectable level, places, bench sheet, run.yaml')
    .description(
      'Reads what is at hand on the bench and writes a folder: bench-sheet.html and .pdf (one page to print), run.yaml with ' +
        'everything declared beforehand, rig.json (regions to be placed on a real frame), plan.json (what analyse compares the ' +
        'run with), scenario.yaml to practise with, and key.csv (what the codes of blind samples stand for).',
    )
    .argument('<bench>', 'a bench file (vialapse/bench@1)')
    .option('--out <folder>', 'where to write (default: a folder named like the plan beside its file)')
    .option('--json', 'print the predictions as JSON on stdout')
    .addHelpText('after', '\nExample:\n  vialapse plan bench.yaml --out lots-07-to-14')
    .action(plan);
}

async function plan(file: string, options: PlanOptions): Promise<void> {
  const [files, { makePlan }, { camelKeys }, { planFiles, checkPlanFolder, writePlanFolder }, colour] =
    await Promise.all([
      import('../../files/index.ts'),
      import('../../plan/make-plan.ts'),
      import('../camel-keys.ts'),
      import('../plan-files.ts'),
      import('../../colour/index.ts'),
    ]);
  const written = await files.loadBench(file);
  const bench = camelKeys(written);
  const { salt } = written.reagent;
  const { chromiumPerFormula, molarMassGMol } = await import('../../reaction/stoichiometry.ts');
  if (molarMassGMol(salt) === null || chromiumPerFormula(salt) === null) {
    throw new UserError({
      code: 'unknown-salt',
      message: 'this is not the formula of a chromium(VI) salt',
      file: files.shownPath(file),
      key: 'reagent.salt',
      expected: 'K2Cr2O7 | Na2Cr2O7.2H2O | (NH4)2Cr2O7',
      got: salt,
    });
  }
  const folder = options.out ?? path.join(path.dirname(file), bench.name);
  await checkPlanFolder(folder);
  const reaction = await files.loadReaction(path.join(files.reactionsFolder, 'acid-dichromate.json'));
  const made = makePlan({
    bench,
    reaction,
    rehearsals,
    colourDistance: (first, second) =>
      colour.oklabDistance(colour.linearRgbToOklab(first), colour.linearRgbToOklab(second)),
  });
  await writePlanFolder(folder, await planFiles(bench, made, { file, written }));
  if (options.json === true) process.stdout.write(`${JSON.stringify(made.predictions)}\n`);
  const { wrapped } = await import('../printable.ts');
  const say = (line: string): void => void process.stderr.write(`  ${wrapped(line, 78, '    ')}\n`);
  process.stderr.write(`${made.name}: ${made.vials.length} vials\n`);
  [...made.working.slice(0, 3), ...made.outlook].forEach(say);
  if (made.warnings.length > 0) process.stderr.write('Note:\n');
  made.warnings.forEach(({ message }) => say(message));
  const at = (name: string): string => files.shownPath(path.join(folder, name));
  const steps = [
    `Print ${at('bench-sheet.pdf')}.`,
    ...(bench.blind === true
      ? [`Blind: only ${at('key.csv')} tells the codes. Take it away before the run is read.`]
      : []),
    `Practise: vialapse simulate ${at('scenario.yaml')} --out ${at('practice')}`,
    `          vialapse analyse ${at('practice/run.yaml')}`,
    `After the run: vialapse rig, then vialapse analyse ${at('run.yaml')}`,
  ];
  process.stderr.write(`${steps.join('\n')}\n`);
}
