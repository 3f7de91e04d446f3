import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll } from 'vitest';
import { UserError } from '../../src/errors.ts';

/** A folder of this test file's own, removed afterwards. */
export function workspace(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-files-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export const rigText = JSON.stringify(
  {
    schema: 'vialapse/rig@1',
    name: 'left bench',
    frame: { width: 1920, height: 1080 },
    regions: [
      { id: 'A1', shape: 'rect', x: 210, y: 300, width: 90, height: 120 },
      { id: 'A2', shape: 'ellipse', cx: 420, cy: 360, rx: 40, ry: 60 },
      {
        id: 'A3',
        shape: 'polygon',
        points: [
          [600, 300],
          [690, 300],
          [690, 420],
          [600, 420],
        ],
      },
    ],
    white: [{ id: 'W', shape: 'rect', x: 30, y: 500, width: 80, height: 80 }],
  },
  null,
  2,
);

export const runText = `schema: vialapse/run@1
name: lot-07
rig: rig.json
source: overnight.mp4
timing: { interval_s: 20 }
reaction: reaction.json
vials:
  - { region: A1, label: reagent only, role: blank, added_run_s: 0 }
  - { region: A2, label: 1-butanol, role: positive, added_run_s: 10 }
  - region: A3
    label: recovered lot 07
    role: sample
    added_run_s: 20
    expect: resists
`;

export const reactionText = JSON.stringify({
  schema: 'vialapse/reaction@1',
  name: 'acid-dichromate',
  title: 'acidic dichromate, orange to green',
  start_colour: 'orange',
  end_colour: 'green',
  cautions: ['Chromium(VI) is carcinogenic: see the SDS.'],
});

/** Writes a run with its rig, reaction and a stand-in for the film; returns the run file. */
export function writeRun(folder: string, texts: { run?: string; rig?: string; reaction?: string } = {}): string {
  writeFileSync(path.join(folder, 'rig.json'), texts.rig ?? rigText);
  writeFileSync(path.join(folder, 'reaction.json'), texts.reaction ?? reactionText);
  writeFileSync(path.join(folder, 'overnight.mp4'), 'not read here');
  const run = path.join(folder, 'run.yaml');
  writeFileSync(run, texts.run ?? runText);
  return run;
}

/** First and last line, from 1, in which two texts differ: where an error must point. */
export function changedLines(before: string, after: string): readonly [first: number, last: number] {
  const [old, now] = [before.split('\n'), after.split('\n')];
  const first = now.findIndex((line, index) => line !== old[index]);
  const same = now.toReversed().findIndex((line, index) => line !== old.toReversed()[index]);
  return [first + 1, Math.max(first + 1, now.length - same)];
}

/** The UserError that a promise is refused with; anything else fails the test. */
export async function refusal(promise: Promise<unknown>): Promise<UserError> {
  try {
    await promise;
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}
