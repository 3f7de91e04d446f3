import type { Region } from '../../../model/region.ts';
import type { Role } from '../../../model/run.ts';
import type { ChartDraft, Plain, PlainObject, Start } from '../../messages.ts';
import { clockText } from '../text/time-text.ts';
import { newVial, type RunDraft, type Sheet, type VialDraft } from './document.ts';
import { roleValue } from './write-files.ts';

/** What is left of an object when the keys that the page shows are taken out. */
const without = (object: PlainObject, keys: readonly string[]): PlainObject =>
  Object.fromEntries(Object.entries(object).filter(([key]) => !keys.includes(key)));

const text = (value: Plain | undefined): string =>
  typeof value === 'string' || typeof value === 'number' ? String(value) : '';

function openVial(entry: PlainObject): VialDraft {
  const role = text(entry['role']) as Role;
  const wanted = roleValue[role];
  const known = [
    'region',
    'label',
    'role',
    'added_run_s',
    'group',
    'expect',
    ...(wanted === undefined ? [] : [wanted.key]),
  ];
  return {
    label: text(entry['label']),
    role,
    added: text(entry['added_run_s']),
    group: text(entry['group']),
    expect: text(entry['expect']) as VialDraft['expect'],
    value: wanted === undefined ? '' : text(entry[wanted.key]),
    extra: without(entry, known),
  };
}

function openTiming(run: PlainObject): Pick<RunDraft, 'timing' | 'timingValue'> {
  const timing = (run['timing'] ?? {}) as PlainObject;
  if (timing['clock'] === 'exif') return { timing: 'exif', timingValue: '' };
  if (timing['speed'] !== undefined) return { timing: 'speed', timingValue: text(timing['speed']) };
  return { timing: 'interval', timingValue: text(timing['interval_s']) };
}

const shownRunKeys = [
  'schema',
  'name',
  'rig',
  'source',
  'timing',
  'reaction',
  'read_at_s',
  'alpha',
  'margin',
  'transfer',
  'vials',
];

function newRun(start: Start): RunDraft {
  const stem = start.source.name.replace(/\.[^.]*$/u, '').replaceAll(/[^\p{L}\p{N} ._-]/gu, '-');
  return {
    file: start.files.run,
    name: stem === '' ? 'run' : stem,
    timing: start.source.clockLengthS !== null ? 'exif' : 'interval',
    timingValue: '',
    reaction: start.reactions[0]?.name ?? '',
    readAt: '',
    alpha: '',
    margin: '',
    transfer: 'srgb',
    extra: {},
  };
}

function openRun(run: PlainObject, start: Start): RunDraft {
  const readAt = run['read_at_s'];
  return {
    file: start.files.run,
    name: text(run['name']),
    ...openTiming(run),
    reaction: text(run['reaction']),
    readAt: typeof readAt === 'number' ? (Number.isInteger(readAt) ? clockText(readAt) : String(readAt)) : '',
    alpha: text(run['alpha']),
    margin: text(run['margin']),
    transfer: text(run['transfer']) || 'srgb',
    extra: without(run, shownRunKeys),
  };
}

/** The sheet to start with: from the files that were there, else empty. */
export function openSheet(start: Start): Sheet {
  const rig = start.rig ?? {};
  const regions = (rig['regions'] ?? []) as unknown as readonly Region[];
  const entries = ((start.run?.['vials'] ?? []) as readonly PlainObject[]).map(
    (entry) => [text(entry['region']), openVial(entry)] as const,
  );
  const vials = new Map(entries);
  return {
    rigName: text(rig['name']) || 'bench',
    regions,
    white: (rig['white'] ?? []) as unknown as readonly Region[],
    chart: (rig['chart'] ?? null) as unknown as ChartDraft | null,
    rigExtra: without(rig, ['schema', 'name', 'frame', 'regions', 'white', 'chart', 'thumbnail']),
    vials: Object.fromEntries(regions.map(({ id }) => [id, vials.get(id) ?? newVial])),
    run: start.run === null ? newRun(start) : openRun(start.run, start),
  };
}
