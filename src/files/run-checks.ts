import type { Rig } from '../model/region.ts';
import type { Finding } from './findings.ts';
import { nearest } from './nearest.ts';
import { sampleAmountFindings, uncertaintyFindings } from './amount-checks.ts';
import { timingKeys, type RunFile } from './schemas/run.ts';
import { sourceFindings } from './source-checks.ts';
import { referenceFindings, vialFindings } from './vial-checks.ts';

/** What is wrong in a run file beyond its shape and the files it names; `samplesAlone`: it needs no reference. */
export function runFindings(run: RunFile, rig: Rig, samplesAlone = false): Finding[] {
  return [
    ...timingFindings(run.timing),
    ...sourceFindings(run),
    ...marginFindings(run),
    ...eventFindings(run, rig),
    ...uncertaintyFindings(run.dose, ['dose']),
    ...uncertaintyFindings(run.dose?.reagent, ['dose', 'reagent']),
    ...sampleAmountFindings(run.dose, ['dose']),
    ...vialFindings(run.vials, rig),
    ...(samplesAlone ? [] : referenceFindings(run.vials)),
  ];
}

function timingFindings(timing: RunFile['timing']): Finding[] {
  const given = timingKeys.filter((key) => timing[key] !== undefined);
  const expected = 'exactly one of interval_s, clock, speed';
  if (given.length === 0) {
    return [
      {
        code: 'timing-missing',
        key: ['timing'],
        message: 'no way is given to time the frames',
        expected,
        hint: 'interval_s: seconds between frames; clock: exif for stills; speed: real seconds per second of playback',
      },
    ];
  }
  if (given.length > 1) {
    return [
      {
        code: 'timing-twice',
        key: ['timing', given[1]!],
        message: 'the frames are timed in two ways',
        expected,
        got: given.join(', '),
      },
    ];
  }
  if (timing.clock_readings !== undefined && timing.clock === undefined) {
    return [
      {
        code: 'readings-without-clock',
        key: ['timing', 'clock_readings'],
        message: 'clock readings only correct a camera clock',
        hint: 'use them beside clock: exif, or remove them',
      },
    ];
  }
  return [];
}

function marginFindings(run: RunFile): Finding[] {
  if (run.margin_mol_percent === undefined) return [];
  if (run.margin !== undefined) {
    return [
      {
        code: 'margin-twice',
        key: ['margin_mol_percent'],
        message: 'the margin is given twice',
        expected: 'margin or margin_mol_percent',
      },
    ];
  }
  if (run.dose !== undefined) return [];
  return [
    {
      code: 'margin-without-dose',
      key: ['margin_mol_percent'],
      message: 'a margin in mol % needs the dose to be turned into extent',
      hint: 'add dose:, or give margin: in extent',
    },
  ];
}

function eventFindings(run: RunFile, rig: Rig): Finding[] {
  const ids = rig.regions.map(({ id }) => id);
  return (run.events ?? []).flatMap(({ region }, index) => {
    if (region === undefined || ids.includes(region)) return [];
    const near = nearest(region, ids);
    return [
      {
        code: 'unknown-region',
        key: ['events', index, 'region'],
        message: `the rig has no region "${region}"`,
        expected: ids.slice(0, 12).join(', '),
        hint: near === null ? undefined : `did you mean "${near}"?`,
      },
    ];
  });
}
