import { measurementOf, runOf } from '../../scripts/truth/curve-run.ts';
import { loadReaction } from '../../src/files/index.ts';
import type { Analysis } from '../../src/model/analysis.ts';
import type { Measurement } from '../../src/model/measurement.ts';
import type { Run } from '../../src/model/run.ts';
import { createRandom } from '../../src/numeric/random.ts';
import type { AnalyseRequest } from '../../src/analyse-request.ts';
import { judge } from '../../src/pipeline.ts';
import { drawPhysics } from '../support/other-physics.ts';
import { runOfPhysics, type PhysicsVial } from '../support/physics-run.ts';

const rack: readonly PhysicsVial[] = [
  { role: 'blank', extentAt: () => 0 },
  { role: 'positive', extentAt: (t) => 1 - Math.exp(-t / 1500) },
  { role: 'positive', extentAt: (t) => 1 - Math.exp(-t / 3500) },
  { role: 'negative', extentAt: (t) => 2e-7 * t },
  { role: 'negative', extentAt: (t) => 3e-7 * t },
  { role: 'negative', extentAt: (t) => 2.5e-7 * t },
  { role: 'sample', extentAt: (t) => 2e-7 * t },
  { role: 'sample', extentAt: (t) => 1 - Math.exp(-t / 2800) },
];

/** A rack of V1 (blank), V2, V3 (positives), V4 to V6 (negatives), V7 (clean) and V8 (turning) over eight hours, every fifth frame, under a physics not the analysis's. */
export function filmedRack(): { readonly run: Run; readonly measurement: Measurement } {
  const random = createRandom('quick half');
  const { vials } = runOfPhysics(drawPhysics(random), rack, random);
  const every = <T>(list: readonly T[]): readonly T[] => list.filter((_, frame) => frame % 5 === 0);
  const thinned = vials.map((vial) => ({
    ...vial,
    timeS: every(vial.timeS),
    rgb: every(vial.rgb),
    se: every(vial.se),
  }));
  return { run: runOf(thinned), measurement: measurementOf(thinned, 0.001) };
}

/** The quick half as `analyse` runs it, from a measurement in memory. */
export async function judged(
  { run, measurement }: { readonly run: Run; readonly measurement: Measurement },
  more: Partial<AnalyseRequest> = {},
): Promise<Analysis> {
  return judge(measurement, {
    run,
    reaction: await loadReaction('shared/reactions/acid-dichromate.json'),
    glance: false,
    untilS: null,
    clock: () => new Date(0),
    version: 'test',
    cacheDir: null,
    baseDir: '/truth',
    inputs: [],
    chartSha256: null,
    ...more,
  });
}
