import { expect, it } from 'vitest';
import { commands } from '../../src/cli/commands.ts';
import { makeProgram } from '../../src/cli/program.ts';

it.each(commands.map(({ name }) => name))('%s --help fits 80 columns without lines broken early', async (name) => {
  const program = await makeProgram([name]);
  const command = program.commands.find((one) => one.name() === name)!;
  command.configureOutput({ getOutHelpWidth: () => 80 });
  expect(command.description()).not.toContain('\n');
  for (const line of command.helpInformation().split('\n')) expect(line.length).toBeLessThanOrEqual(80);
});
