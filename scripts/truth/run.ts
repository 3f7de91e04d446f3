/*
 * npm run truth -- [--curves N] [--images N] [--edges N] [--seed TEXT] [--minutes N] [--workers N] [--work FOLDER] [--out FOLDER]
 * Monte-Carlo of the analysis against known truth; writes truth.md and its plots. Goes on where it was stopped.
 */
import { fork } from 'node:child_process';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { parseArgs } from 'node:util';
import type { Task } from './one-run.ts';
import { studyFiles } from './report.ts';
import type { RunScore } from './score.ts';
import { openWorkFile } from './work-file.ts';

const { values } = parseArgs({
  options: {
    curves: { type: 'string', default: '1000' },
    images: { type: 'string', default: '200' },
    edges: { type: 'string', default: '200' },
    seed: { type: 'string', default: 'truth-3' },
    minutes: { type: 'string', default: '120' },
    workers: { type: 'string', default: '2' },
    work: { type: 'string', default: '.vialapse/truth' },
    out: { type: 'string', default: 'reports' },
  },
});

function whole(name: 'curves' | 'images' | 'edges' | 'workers' | 'minutes'): number {
  const value = Number(values[name]);
  if (Number.isFinite(value) && value >= 0) return value;
  throw new Error(`--${name}: expected a number of 0 or more, got ${values[name]}`);
}
const curves = whole('curves');
const images = whole('images');
const edges = whole('edges');
const endsAt = Date.now() + 60_000 * whole('minutes');

const taskName = ({ level, index }: Pick<Task, 'level' | 'index'>): string => `${level} ${index}`;
const wanted = [
  ...Array.from({ length: curves }, (_, index) => ({ level: 'curve' as const, index, at: (index + 0.5) / curves })),
  ...Array.from({ length: images }, (_, index) => ({ level: 'image' as const, index, at: (index + 0.5) / images })),
  ...Array.from({ length: edges }, (_, index) => ({ level: 'edge' as const, index, at: (index + 0.5) / edges })),
  // all levels advance together, so that a study cut short has its share of each
].sort((first, second) => first.at - second.at);
const names = new Set(wanted.map(taskName));
const work = await openWorkFile(values.work, values.seed);
const scores = new Map<string, RunScore>(
  work.scores.filter((score) => names.has(taskName(score))).map((score) => [taskName(score), score]),
);
const tasks = wanted
  .filter((task) => !scores.has(taskName(task)))
  .map(({ level, index }): Task => ({ level, index, seed: values.seed }));
const failures: string[] = [];

await Promise.all(Array.from({ length: Math.min(whole('workers'), tasks.length) }, runWorker));
const ordered = wanted.flatMap((task) => scores.get(taskName(task)) ?? []);
for (const { path: name, content } of studyFiles(ordered, { seed: values.seed, curves, images, edges, failures })) {
  const file = path.join(values.out, name);
  await mkdir(path.dirname(file), { recursive: true });
  await writeFile(file, content);
}
process.stderr.write(`${ordered.length} of ${wanted.length} runs: ${path.join(values.out, 'truth.md')}\n`);
if (failures.length > 0) process.exitCode = 1;

/** Feeds one child process until no task or no time is left. */
async function runWorker(): Promise<void> {
  const child = fork(path.join(import.meta.dirname, 'worker.ts'), { execArgv: ['--import', 'tsx'] });
  for (let task = tasks.shift(); task !== undefined && Date.now() < endsAt; task = tasks.shift()) {
    const answer = await ask(child, task);
    if ('score' in answer) {
      scores.set(taskName(task), answer.score);
      await work.append(answer.score);
    } else failures.push(`${taskName(task)}: ${answer.failed}`);
    if (process.stderr.isTTY) process.stderr.write(`\r${scores.size} of ${wanted.length} runs `);
  }
  child.disconnect();
}

type Answer = { readonly score: RunScore } | { readonly failed: string };

function ask(child: ReturnType<typeof fork>, task: Task): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const gone = (code: number | null): void => reject(new Error(`a worker ended with ${code} at ${taskName(task)}`));
    child.once('exit', gone);
    child.once('message', (answer) => {
      child.off('exit', gone);
      resolve(answer as Answer);
    });
    child.send(task);
  });
}
