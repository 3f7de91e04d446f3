import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Command } from 'commander';
import { afterAll, describe, expect, it } from 'vitest';
import { commands } from '../src/cli/commands.ts';
import { loadReaction, loadRig, loadRun } from '../src/files/index.ts';
import { importTable } from './support/import-table.ts';

const root = path.resolve(import.meta.dirname, '..');
const read = (name: string): string => readFileSync(path.join(root, name), 'utf8');
const documents = ['README.md', 'DEVELOPERS.md', 'CHANGELOG.md', 'NOTICE.md', 'fixtures/README.md'] as const;
const readme = read('README.md');

interface Block {
  readonly language: string;
  readonly text: string;
}

function blocksOf(text: string): readonly Block[] {
  return [...text.matchAll(/^```(\w+)\n(.*?)^```/gms)].map(([, language, body]) => ({
    language: language!,
    text: body!,
  }));
}

/** What stands between backticks outside of fenced blocks. */
function codeOf(text: string): readonly string[] {
  return [...text.replace(/^```.*?^```/gms, '').matchAll(/`([^`\n]+)`/g)].map(([, code]) => code!);
}

/** Words of a shell line; quotes taken off, `$NAME` and `{}` stand for 1. */
function wordsOf(line: string): readonly string[] {
  return [...line.matchAll(/(?:"[^"]*"|[^\s"])+/g)].map(([word]) =>
    word.replace(/["']/g, '').replace(/\$\w+|\{\}/g, '1'),
  );
}

/** Calls of the command line in a shell line, without the program's name; what follows `:::` is GNU parallel's. */
function callsOf(line: string): readonly (readonly string[])[] {
  return line.split('&&').flatMap((part) => {
    const words = wordsOf(part.split(':::')[0]!);
    const at = words.indexOf('vialapse');
    return at < 0 ? [] : [words.slice(at + 1)];
  });
}

/** Parses as the command line does, and does nothing. */
async function parse(call: readonly string[]): Promise<void> {
  const entry = commands.find(({ name, alias }) => name === call[0] || alias === call[0]);
  if (entry === undefined) throw new Error(`no such command: ${call.join(' ')}`);
  const program = new Command().exitOverride().configureOutput({ writeErr: () => undefined });
  (await entry.load()).register(program);
  const [command] = program.commands;
  command!.exitOverride().configureOutput({ writeErr: () => undefined });
  command!.action(() => undefined);
  await program.parseAsync([...call], { from: 'user' });
}

const shell = blocksOf(readme).filter(({ language }) => language === 'sh');
const shellLines = shell.flatMap(({ text }) => text.trim().split('\n'));
const written = [...shellLines, ...documents.flatMap((name) => codeOf(read(name)))]
  .flatMap(callsOf)
  .filter(([first]) => first !== undefined && first !== '…');
/** A verb alone in running text is a mention, not a call. */
const calls = written.filter(([verb, ...rest]) => rest.length > 0 || verb === 'demo');
const mentions = written.filter(([, ...rest]) => rest.length === 0).map(([verb]) => verb);

describe('README', () => {
  it('opens with the job in one paragraph, then the two lines', () => {
    const [title, job, block] = readme.split(/\n{2,}/);
    expect(title).toBe('# Vialapse');
    for (const word of ['vials', 'camera', 'sample', 'reference', 'reacted', 'resisted', 'undecided', 'risk']) {
      expect(job).toContain(word);
    }
    expect(block).toBe('```sh\nnpm ci && npm run demo\nnpm ci && npm test\n```');
  });

  it('gives the test line that .ci/run runs', () => {
    expect(read('.ci/run').trim().split('\n').at(-1)).toBe('npm ci && npm test');
  });

  it.each(calls.map((call) => [call.join(' '), call] as const))('vialapse %s is understood', async (_, call) => {
    await expect(parse(call)).resolves.toBeUndefined();
  });

  it('shows every command', () => {
    const shown = new Set(calls.map(([verb]) => verb));
    const names = commands.map(({ name }) => name);
    expect(names.filter((name) => !shown.has(name))).toEqual([]);
    expect(mentions.filter((verb) => !names.includes(verb!))).toEqual([]);
  });

  it('would notice a wrong option, argument or command', async () => {
    await expect(parse(['analyse', 'run.yaml', '--colour'])).rejects.toThrow('unknown option');
    await expect(parse(['analyse'])).rejects.toThrow('missing required argument');
    await expect(parse(['demo', 'a', 'b'])).rejects.toThrow('too many arguments');
    await expect(parse(['guess'])).rejects.toThrow('no such command');
  });
});

describe('the example files of the README', () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-docs-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const example = (language: string): string => {
    const found = blocksOf(readme).filter((block) => block.language === language);
    expect(found).toHaveLength(1);
    return found[0]!.text;
  };

  it('are a rig and a run that load', async () => {
    mkdirSync(folder, { recursive: true });
    writeFileSync(path.join(folder, 'rig.json'), example('json'));
    writeFileSync(path.join(folder, 'run.yaml'), example('yaml'));
    const rig = await loadRig(path.join(folder, 'rig.json'));
    const run = await loadRun(path.join(folder, 'run.yaml'), { sourceMayBeMissing: true });
    expect(run.vials.map(({ region }) => region).sort()).toEqual(rig.regions.map(({ id }) => id).sort());
    expect((await loadReaction(run.reaction.file)).name).toBe('acid-dichromate');
  });
});

describe('the documents', () => {
  it.each(documents)('%s: links lead somewhere', (name) => {
    const targets = [...read(name).matchAll(/\]\(([^)\s]+)\)/g)].map(([, target]) => target!);
    const local = targets.filter((target) => !/^(https?:|#)/.test(target)).map((target) => target.replace(/#.*/, ''));
    expect(local.filter((target) => !existsSync(path.resolve(root, path.dirname(name), target)))).toEqual([]);
  });

  it.each(documents)('%s: files named are there', (name) => {
    const base = name === 'fixtures/README.md' ? 'fixtures' : '.';
    const named = codeOf(read(name)).filter(
      (code) =>
        /^(src|tests|scripts|shared|fixtures|bin|reports\/\w+\.md)\b[\w./-]*$/.test(code) ||
        /^[A-Z]+(\.md)?$/.test(code),
    );
    const files = named.filter((code) => code.includes('/') || /^(LICENSE|[A-Z]+\.md)$/.test(code));
    const there = (file: string): boolean =>
      [root, path.join(root, base)].some((at) => existsSync(path.join(at, file)));
    expect(files.filter((file) => !there(file))).toEqual([]);
  });

  it('name scripts that package.json has', () => {
    const { scripts, files } = JSON.parse(read('package.json')) as { scripts: Record<string, string>; files: string[] };
    const run = documents.flatMap((name) => [...read(name).matchAll(/npm run ([\w:]+)/g)].map(([, script]) => script!));
    expect(run.length).toBeGreaterThan(2);
    expect(run.filter((script) => scripts[script] === undefined)).toEqual([]);
    const programs = Object.values(scripts).flatMap((line) => line.match(/\b(?:scripts|bin)\/[\w./-]+/g) ?? []);
    expect(programs.filter((file) => !existsSync(path.join(root, file)))).toEqual([]);
    expect(files.filter((file) => file !== 'dist' && !existsSync(path.join(root, file)))).toEqual([]);
  });

  it('DEVELOPERS.md has the import table that the code is held to', () => {
    const rows = [...read('DEVELOPERS.md').matchAll(/^\| `([a-z-]+)\/` \|[^|]*\| ([^|]*) \|$/gm)];
    const told = Object.fromEntries(
      rows.map(([, folder, imports]) => [folder, [...imports!.matchAll(/`([^`]+)`/g)].map(([, name]) => name).sort()]),
    );
    const held = Object.fromEntries(
      Object.entries(importTable).map(([folder, { folders, packages }]) => [folder, [...folders, ...packages].sort()]),
    );
    expect(told).toEqual(held);
  });
});

describe('fixtures/README.md', () => {
  const fixtures = readdirSync(path.join(root, 'fixtures'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(path.join(root, 'fixtures'), path.join(entry.parentPath, entry.name)))
    .map((name) => name.split(path.sep).join('/'))
    .filter((name) => name !== 'README.md');
  const lines = read('fixtures/README.md')
    .split('\n')
    .filter((line) => line.startsWith('- `'))
    .map((line) => {
      const [, names, origin] = /^- (.*?): (.*)$/.exec(line)!;
      const patterns = [...names!.matchAll(/`([^`]+)`/g)].map(([, pattern]) => pattern!);
      return { patterns, origin: origin! };
    });
  const fits = (pattern: string, name: string): boolean =>
    new RegExp(`^${pattern.replace(/[.+?^${}()|[\]\\]/g, '\\$&').replace(/\*/g, '[^/]*')}$`).test(name);

  it('says of every fixture where it comes from', () => {
    const known = (name: string): boolean =>
      lines.some(({ patterns }) => patterns.some((pattern) => fits(pattern, name)));
    expect(fixtures.length).toBeGreaterThan(10);
    expect(fixtures.filter((name) => !known(name))).toEqual([]);
    expect(lines.filter(({ origin }) => origin.length < 40)).toEqual([]);
  });

  it('speaks of no fixture that is gone', () => {
    const patterns = lines.flatMap((line) => line.patterns);
    expect(patterns.filter((pattern) => !fixtures.some((name) => fits(pattern, name)))).toEqual([]);
  });
});
