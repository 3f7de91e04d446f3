import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { extentErrors, smallRun, twelve } from './extent-errors.ts';
import { benchFolder, type RigFile } from './rack.ts';

const bench = benchFolder();
const frame = { width: 640, height: 360 };
const movedAtS = 7200;

/** Regions up to just below the meniscus, so that their crop shows it. */
function tall(runFile: string): void {
  const file = path.join(path.dirname(runFile), 'rig.json');
  const rig = JSON.parse(readFileSync(file, 'utf8')) as RigFile;
  for (const region of rig.regions) Object.assign(region, { y: region.y - 5, height: region.height + 5 });
  writeFileSync(file, JSON.stringify(rig));
}

it.each([
  ['turned, so that it looks darker, is flagged with the moment', { brightness: 0.84, downCm: 0 }, /16 % darker/],
  ['pushed down in its hole is flagged by its meniscus', { brightness: 1, downCm: 0.14 }, /pixels lower/],
])(
  'a clean vial %s, and no other is',
  async (_, how, text) => {
    const vials = twelve.map((vial) =>
      vial.label === 'clean lot' ? { ...vial, moved: { atRunS: movedAtS, ...how } } : vial,
    );
    const { run } = await extentErrors(smallRun({ seed: 61, frame, vials }), bench(`moved-${how.brightness}`), tall);
    const { result } = run.analysis;
    const flagged = result.vials.flatMap(({ region, flags }) =>
      flags.filter(({ code }) => code === 'vial-moved').map((flag) => [region, flag.from_run_s]),
    );
    expect(flagged).toEqual([['B1', movedAtS]]);
    const check = result.checks.find(({ code }) => code === 'vial-moved')!;
    expect(check.status).toBe('warn');
    expect(check.message).toMatch(text);
    // a clean lot is not called reacted for having been touched
    expect(result.samples.find(({ label }) => label === 'clean lot')!.outcome).not.toBe('reacted');
  },
  60_000,
);
