import type { Plain, PlainObject, Problem, Start } from '../../messages.ts';
import { tidy } from '../geometry/shape.ts';
import { parseNumber, parseTime } from '../text/time-text.ts';
import type { RunDraft, Sheet, VialDraft } from './document.ts';
import type { Region } from '../../../model/region.ts';

/** Which key the value of a role is written to, and whether it is a number. */
export const roleValue: Readonly<
  Partial<Record<VialDraft['role'], { key: string; words: string; numeric: boolean; example: string }>>
> = {
  standard: { key: 'level_mol_percent', words: 'level, mol %', numeric: true, example: '0.5' },
  mixture: { key: 'extent', words: 'extent, 0 to 1', numeric: true, example: '0.5' },
  known: { key: 'identity', words: 'identity', numeric: false, example: '2-butanol' },
};

const plain = (region: Region): PlainObject => ({ ...tidy(region) }) as unknown as PlainObject;

/** `rig.json` as the sheet has it, without the thumbnail, which the server adds. */
export function rigFile(sheet: Sheet, start: Start): PlainObject {
  const { chart } = sheet;
  return {
    ...sheet.rigExtra,
    schema: 'vialapse/rig@1',
    name: sheet.rigName,
    frame: { width: start.source.width, height: start.source.height },
    regions: sheet.regions.map(plain),
    ...(sheet.white.length === 0 ? {} : { white: sheet.white.map(plain) }),
    ...(chart === null ? {} : { chart: { ...chart } as unknown as PlainObject }),
  };
}

/** Real seconds per second of playback, or between frames, from the real length of the whole film. */
function timingOfLength(lengthS: number, start: Start): PlainObject {
  const { playbackS, frames } = start.source;
  return playbackS === null || playbackS <= 0
    ? { interval_s: lengthS / Math.max(1, frames - 1) }
    : { speed: lengthS / playbackS };
}

function timing(run: RunDraft, start: Start, problem: (key: string, message: string) => void): PlainObject {
  if (run.timing === 'exif') return { clock: 'exif' };
  const value = run.timing === 'speed' ? parseNumber(run.timingValue) : parseTime(run.timingValue);
  if (value === null || value <= 0) {
    const wanted = {
      interval: 'the real time between two frames, such as 20 s',
      speed: 'how many real seconds one second of playback shows, such as 600',
      lasted: 'how long the whole film lasted, such as 8 h or 8:00:00',
    }[run.timing];
    problem(
      'timing',
      run.timingValue.trim() === '' ? `Give ${wanted}.` : `"${run.timingValue}" is not a time: give ${wanted}.`,
    );
    return {};
  }
  if (run.timing === 'lasted') return timingOfLength(value, start);
  return run.timing === 'speed' ? { speed: value } : { interval_s: value };
}

function vialEntry(
  region: string,
  vial: VialDraft,
  at: string,
  problem: (key: string, message: string) => void,
): PlainObject {
  const entry: Record<string, Plain> = { region, label: vial.label.trim() || region, role: vial.role };
  if (vial.added.trim() !== '') {
    const added = parseTime(vial.added);
    if (added === null) problem(`${at}.added_run_s`, `"${vial.added}" is not a time: give seconds or h:mm:ss.`);
    else entry['added_run_s'] = added;
  }
  if (vial.expect !== '') entry['expect'] = vial.expect;
  if (vial.group.trim() !== '') entry['group'] = vial.group.trim();
  const wanted = roleValue[vial.role];
  if (wanted !== undefined && vial.value.trim() !== '') {
    const value = wanted.numeric ? parseNumber(vial.value) : vial.value.trim();
    if (value === null) problem(`${at}.${wanted.key}`, `"${vial.value}" is not a number: give the ${wanted.words}.`);
    else entry[wanted.key] = value;
  } else if (wanted !== undefined) {
    problem(`${at}.${wanted.key}`, `A ${vial.role} needs its ${wanted.words}, such as ${wanted.example}.`);
  }
  return { ...entry, ...vial.extra };
}

/** `run.yaml` as the sheet has it, and what in it is no value yet. */
export function runFile(sheet: Sheet, start: Start): { run: PlainObject; problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const problem = (key: string, message: string): void => void problems.push({ file: 'run', key, message });
  const { run } = sheet;
  const optional = (key: string, text: string, parse: (text: string) => number | null, wanted: string): PlainObject => {
    if (text.trim() === '') return {};
    const value = parse(text);
    if (value === null) problem(key, `"${text}" is not ${wanted}.`);
    return value === null ? {} : { [key]: value };
  };
  return {
    run: {
      schema: 'vialapse/run@1',
      name: run.name.trim(),
      rig: start.references.rig,
      source: start.references.source,
      timing: timing(run, start, problem),
      reaction: run.reaction,
      ...optional('read_at_s', run.readAt, parseTime, 'a time: give seconds, 2 h or 2:00:00'),
      ...optional('alpha', run.alpha, parseNumber, 'a number'),
      ...optional('margin', run.margin, parseNumber, 'a number'),
      ...(run.transfer === 'srgb' ? {} : { transfer: run.transfer }),
      ...run.extra,
      vials: sheet.regions.map(({ id }, index) => vialEntry(id, sheet.vials[id]!, `vials[${index}]`, problem)),
    },
    problems,
  };
}
