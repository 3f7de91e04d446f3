import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import type { Run } from '../model/run.ts';
import { formatDuration } from '../report/duration.ts';

/** One judgement that was replaced. */
interface EarlierJudgement {
  readonly number: number;
  /** What was changed after it. */
  readonly replaced_because: readonly string[];
  readonly outcomes: readonly { readonly label: string; readonly outcome: string }[];
  readonly result_sha256: string;
}

interface JudgementsFile {
  readonly schema: 'vialapse/judgements@1';
  /** Judgements of this run up to now, this one included. */
  readonly count: number;
  readonly settings: Readonly<Record<string, string>>;
  readonly earlier: readonly EarlierJudgement[];
}

/** Settings at most written out in a reason, characters. */
const shownLength = 40;

/**
 * The record of a run's judgements: a report that is replaced because somebody changed a role, a margin or a reading
 * time leaves its outcomes behind, so that a hunt for a kind reference shows. An unchanged run adds nothing.
 */
export async function judgementsOf(
  outDir: string,
  run: Run,
  version: string,
): Promise<{
  readonly remarks: readonly string[];
  readonly file: { readonly path: string; readonly content: string };
}> {
  const settings = settingsOf(run, version);
  const before = await readBefore(outDir);
  const reasons = before === null ? [] : differences(before.record.settings, settings);
  const earlier = [...(before?.record.earlier ?? [])];
  if (before !== null && reasons.length > 0) {
    const { outcomes, sha256 } = before;
    earlier.push({ number: earlier.length + 1, replaced_because: reasons, outcomes, result_sha256: sha256 });
  }
  const record: JudgementsFile = { schema: 'vialapse/judgements@1', count: earlier.length + 1, settings, earlier };
  return {
    remarks: earlier.length === 0 ? [] : [remark(earlier)],
    file: { path: 'judgements.json', content: `${JSON.stringify(record, null, 2)}\n` },
  };
}

/** How often a finished report had been judged before. */
export async function judgedBefore(outDir: string): Promise<number> {
  return (await readRecord(outDir))?.earlier.length ?? 0;
}

function remark(earlier: readonly EarlierJudgement[]): string {
  const last = earlier.at(-1)!;
  const times = earlier.length === 1 ? 'once' : `${earlier.length} times`;
  return `Judged ${times} before with other settings (last changed: ${last.replaced_because.map(inWords).join('; ')}); the earlier outcomes are in judgements.json.`;
}

/** A change in the words of the report: `reading time 3 h 20 min → 2 h 30 min` for `read_at_s 12000 -> 9000`. */
function inWords(change: string): string {
  const [, from, to] = /^read_at_s (\S+) -> (\S+)$/.exec(change) ?? [];
  const time = (seconds: string): string =>
    Number.isFinite(Number(seconds)) ? formatDuration(Number(seconds)) : 'none';
  if (from !== undefined && to !== undefined) return `reading time ${time(from)} → ${time(to)}`;
  return change.replace(' -> ', ' → ').replace('added_run_s', 'dosed at');
}

/** Everything that a judgement depends on and a person may edit, each as text. */
function settingsOf(run: Run, version: string): Readonly<Record<string, string>> {
  const text = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));
  const base = path.dirname(run.file);
  const settings: Record<string, string> = {
    version,
    reaction: run.reaction.name,
    read_at_s: text(run.readAtS),
    alpha: text(run.alpha),
    margin: `${run.margin.value} ${run.margin.unit}`,
    timing: text(run.timing),
    transfer: run.transfer,
    source: text(run.source.map(({ file, startsRunS }) => [slashes(path.relative(base, file)), startsRunS])),
    rig: createHash('sha256')
      .update(JSON.stringify([run.rig.regions, run.rig.white]))
      .digest('hex')
      .slice(0, 12),
    path: text(run.pathFile === null ? null : slashes(path.relative(base, run.pathFile))),
    dose: text(run.dose),
    events: text(run.events),
  };
  for (const { region, ...vial } of run.vials) {
    for (const [key, value] of Object.entries(vial)) {
      if (value !== null) settings[`${region} ${key}`] = text(value);
    }
  }
  return settings;
}

const slashes = (file: string): string => file.split(path.sep).join('/');

function differences(before: Readonly<Record<string, string>>, now: Readonly<Record<string, string>>): string[] {
  const short = (value: string | undefined): string =>
    value === undefined ? 'none' : value.length > shownLength ? `${value.slice(0, shownLength)}…` : value;
  return [...new Set([...Object.keys(before), ...Object.keys(now)])]
    .filter((key) => before[key] !== now[key])
    .map((key) => `${key} ${short(before[key])} -> ${short(now[key])}`);
}

async function readBefore(outDir: string): Promise<{
  readonly record: JudgementsFile;
  readonly outcomes: EarlierJudgement['outcomes'];
  readonly sha256: string;
} | null> {
  const record = await readRecord(outDir);
  const content = await readFile(path.join(outDir, 'result.json'), 'utf8').catch(() => null);
  if (record === null || content === null) return null;
  const { samples } = JSON.parse(content) as { samples: { label: string; outcome: string }[] };
  return {
    record,
    outcomes: samples.map(({ label, outcome }) => ({ label, outcome })),
    // without the time of making, so that the same judgement has the same hash
    sha256: createHash('sha256')
      .update(content.replace(/"at": "[^"]*"/, '"at": ""'))
      .digest('hex'),
  };
}

async function readRecord(outDir: string): Promise<JudgementsFile | null> {
  try {
    const record = JSON.parse(await readFile(path.join(outDir, 'judgements.json'), 'utf8')) as JudgementsFile;
    return record.schema === 'vialapse/judgements@1' && Array.isArray(record.earlier) ? record : null;
  } catch {
    return null;
  }
}
