import { Command } from 'commander';
import { commands } from './commands.ts';
import { toolVersion } from './version.ts';

const description =
  'Reads purity colour tests in racks of vials from a time-lapse: extent, rate and outcome of ' +
  'every sample against the reference vials in the same frame.';

const exitCodes =
  '\nExit codes:\n' +
  '  0  done\n' +
  '  1  a fault of ours or of the machine (bug, disk, ffmpeg missing)\n' +
  '  2  the input is wrong: one message, nothing written\n' +
  "  3  done, but the run's own controls failed\n" +
  '\nExample:\n' +
  '  vialapse start overnight.mp4 && vialapse analyse run.yaml\n' +
  '\nThe reagent is poisonous and burns. This tool reads pictures; the SDS, local\n' +
  'rules and licensed practice govern the bench.';

/** The command line, with the module of the verb in `argv` loaded and the others only listed. */
export async function makeProgram(argv: readonly string[]): Promise<Command> {
  const program = new Command('vialapse')
    .description(description)
    .version(toolVersion())
    .option('--debug', 'if something fails, print where in the code (also: VIALAPSE_DEBUG=1)')
    .helpCommand('help [command]', 'explains a command')
    .addHelpText('after', exitCodes)
    .showHelpAfterError('(--help explains the command and shows an example)')
    .exitOverride();
  const words = argv.filter((word) => !word.startsWith('-'));
  const wanted = words[0] === 'help' ? words[1] : words[0];
  for (const { name, alias, summary, load } of commands) {
    if (wanted === name || (alias !== undefined && wanted === alias)) (await load()).register(program);
    else
      program
        .command(name)
        .summary(summary)
        .alias(alias ?? '')
        .usage('[options]');
  }
  return program;
}
