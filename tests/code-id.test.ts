import { existsSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { allSources, digestOf, measuringSources } from '../scripts/code-id.mjs';

let measuring: readonly string[];
beforeAll(async () => {
  measuring = await measuringSources();
});

describe('the digest of what measures', () => {
  it('takes in all that lies between media and a measurement', () => {
    for (const name of measuring) expect(existsSync(name), name).toBe(true);
    for (const needed of [
      ...['kept-measurement', 'measure-source', 'read-frames', 'frames/open-source', 'frames/video/convert-planes'],
      ...[
        'frames/stills/still-part',
        'frames/ycbcr',
        'motion/tracker',
        'colour/region-reader',
        'colour/robust-surface',
      ],
      ...['light/correct-light', 'light/judge-frames', 'files/round-column'],
    ])
      expect(measuring).toContain(`src/${needed}.ts`);
  });

  it('leaves out what judges and reports: a word changed there needs no decoding', () => {
    const others = /^src\/(judge|kinetics|reaction|report|cli|plan|simulate|match|batch|rig-page|find|spectra)\//;
    expect(measuring.filter((name) => others.test(name))).toEqual([]);
    expect(allSources().filter((name) => others.test(name)).length).toBeGreaterThan(200);
  });

  it('changes with any of their lines, with their names and with the packages', () => {
    const content = (changed?: string) => (name: string) => (name === changed ? 'changed' : name);
    const digests = [undefined, ...measuring, 'package-lock.json'].map((changed) =>
      digestOf(measuring, content(changed)),
    );
    expect(new Set(digests).size).toBe(digests.length);
    expect(digestOf(measuring.slice(1), content())).not.toBe(digests[0]);
    expect(digestOf(measuring, content('src/report/words.ts'))).toBe(digests[0]);
  });
});
