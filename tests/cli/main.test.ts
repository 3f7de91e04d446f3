import { readdirSync } from 'node:fs';
import { Command } from 'commander';
import { describe, expect, it } from 'vitest';
import { commands } from '../../src/cli/commands.ts';
import { reportError } from '../../src/cli/report-error.ts';
import { stageWords } from '../../src/cli/stage-progress.ts';
import { MachineError, UserError } from '../../src/errors.ts';
import { vialapse } from './bench.ts';

describe('the command line', () => {
  it('lists its verbs and explains the exit codes', async () => {
    const { code, out } = await vialapse('--help');
    expect(code).toBe(0);
    for (const { name } of commands) expect(out).toContain(`  ${name}`);
    expect(out).toContain('Exit codes:');
    expect(out.split('\n').every((line) => line.length <= 88)).toBe(true);
  });

  it.each(commands.map((entry) => [entry.name, entry] as const))(
    '%s has the listed summary, --help with an example, and --json',
    async (name, entry) => {
      const program = new Command();
      (await entry.load()).register(program);
      const [command] = program.commands;
      expect([command?.name(), command?.summary(), command?.alias() ?? '']).toEqual([
        name,
        entry.summary,
        entry.alias ?? '',
      ]);
      expect(command?.options.map(({ long }) => long)).toContain('--json');
      const { code, out } = await vialapse(name, '--help');
      expect(code).toBe(0);
      expect(out).toMatch(/Example:\n +vialapse /);
    },
  );

  it('lists every module of commands/', () => {
    const modules = readdirSync(new URL('../../src/cli/commands/', import.meta.url)).map((file) =>
      file.replace('.ts', ''),
    );
    expect(commands.map(({ name }) => name).sort()).toEqual(modules.sort());
  });

  it('prints its version', async () => {
    expect(await vialapse('--version')).toMatchObject({
      code: 0,
      out: expect.stringMatching(/^\d+\.\d+\.\d+\n$/) as string,
    });
  });

  it.each([
    ['no command', [], 'Usage: vialapse'],
    ['an unknown command', ['anlyse', 'x'], 'Did you mean analyse?'],
    ['an unknown option', ['analyse', '--zebra', 'x'], "unknown option '--zebra'"],
    ['no run file', ['analyse'], "missing required argument 'run'"],
    ['a file too many', ['analyse', 'a', 'b'], 'too many arguments'],
    ['a negative time', ['analyse', '--until', '-3', 'x'], 'above 0'],
    ['a time that is no number', ['analyse', '--until', 'NaN', 'x'], 'above 0'],
    ['a run file that is not there', ['analyse', 'nope.yaml'], 'nope.yaml: there is no such file'],
    ['the same by its other spelling', ['analyze', 'nope.yaml'], 'nope.yaml: there is no such file'],
  ])('answers %s with 2 and a message', async (_, argv, message) => {
    const { code, out, err } = await vialapse(...argv);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(message);
  });

  it('leaves the exit code of the process around it alone', async () => {
    const before = process.exitCode;
    await vialapse('anlyse');
    expect(process.exitCode).toBe(before);
  });
});

describe('reportError', () => {
  const told = (error: unknown, debug: boolean): { code: number; text: string } => {
    let text = '';
    const write = process.stderr.write.bind(process.stderr);
    process.stderr.write = (chunk: string | Uint8Array) => ((text += String(chunk)), true);
    try {
      return { code: reportError(error, debug), text };
    } finally {
      process.stderr.write = write;
    }
  };

  it('tells wrong input, machine and our own faults apart', () => {
    expect(told(new UserError({ code: 'c', message: 'wrong' }), false)).toEqual({ code: 2, text: 'wrong\n' });
    expect(told(new MachineError('c', 'full', { hint: 'free some space' }), false)).toEqual({
      code: 1,
      text: 'full\n  to do:    free some space\n',
    });
    const ours = told(new TypeError('x is undefined'), false);
    expect(ours.code).toBe(1);
    expect(ours.text).toContain('A fault of ours, not of your input: TypeError: x is undefined');
    expect(ours.text).not.toContain('report-error');
  });

  it('prints the stack and the cause only when asked', () => {
    const error = new MachineError('c', 'full', { cause: new Error('the disk said so') });
    expect(told(error, true).text).toMatch(/main\.test\.ts[^]*because of Error: the disk said so/);
  });

  it('lets no control character of a file name reach the terminal', () => {
    expect(told(new UserError({ code: 'c', message: 'bad', file: 'a\u001b[2Jb\u202e' }), false).text).toBe(
      'a\\u{001b}[2Jb\\u{202e}: bad\n',
    );
  });
});

describe('the progress line', () => {
  it('says stage, frames, rate and time left', () => {
    expect(stageWords({ stage: 'measuring', done: 312, total: 1440 }, 3.67)).toBe(
      'measuring: 312 of 1440 frames, 85 a second, 13 s left',
    );
    expect(stageWords({ stage: 'judging', done: 0, total: null }, 9)).toBe('judging');
    expect(stageWords({ stage: 'looking', done: 4, total: null }, 2)).toBe('looking: 4 frames, 2.0 a second');
  });
});
