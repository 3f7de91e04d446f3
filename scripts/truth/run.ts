/*
 * npm run truth -- [--curves N] [--seed TEXT] [--out FILE]
 * Monte-Carlo of the quick half against known truth; writes reports/truth.md. Every fifth run has three mixtures.
 */
import { writeFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { loadReaction } from '../../src/files/index.ts';
import { createRandom } from '../../src/numeric/random.ts';
import { judge } from '../../src/pipeline.ts';
import { drawPhysics } from '../../tests/support/other-physics.ts';
import { runOfPhysics, threeMixtures, type PhysicsVial } from '../../tests/support/physics-run.ts';
import { measurementOf, runOf } from './curve-run.ts';
import { quantile, studyText, type RunScore } from './tally.ts';

const { values } = parseArgs({
  options: {
    curves: { type: 'string', default: '1000' },
    seed: { type: 'string', default: 'truth-2' },
    out: { type: 'string', default: 'reports/truth.md' },
  },
});
const readAtS = 14_400;
const margin = 0.05;

type RackVial = PhysicsVial & { readonly rate?: number };

/** Rack of the main job with a burst of random size; `rate` marks vials that are first order. */
function drawRack(random: ReturnType<typeof createRandom>): readonly RackVial[] {
  const first = (role: PhysicsVial['role'], tauS: number): PhysicsVial & { readonly rate: number } => ({
    role,
    rate: 1 / tauS,
    extentAt: (t) => 1 - Math.exp(-t / tauS),
  });
  const negative: PhysicsVial = { role: 'negative', extentAt: (t) => 2.5e-7 * t };
  const burst = 0.05 + 0.25 * random.uniform();
  const tau = 900 + 900 * random.uniform();
  return [
    { role: 'blank', extentAt: () => 0 },
    first('positive', 1000 + 1000 * random.uniform()),
    first('positive', 2000 + 1500 * random.uniform()),
    negative,
    negative,
    negative,
    { role: 'sample', extentAt: (t) => 2.5e-7 * t },
    { role: 'sample', extentAt: (t) => burst * (1 - Math.exp(-t / tau)) + 2e-7 * t },
    { role: 'sample', extentAt: (t) => 0.6 * (1 - Math.exp(-t / 2500)) },
    first('sample', 1500 + 2000 * random.uniform()),
    { role: 'sample', extentAt: (t) => (t < 3000 ? 0 : 1 - Math.exp(-(t - 3000) / 5000)) },
    { role: 'sample', extentAt: () => 0 },
  ];
}

const reaction = await loadReaction('shared/reactions/acid-dichromate.json');
const scores: RunScore[] = [];
for (let index = 0; index < Number(values.curves); index += 1) {
  const random = createRandom(`${values.seed}/${index}`);
  const kind = index % 5 === 4 ? 'mixtures' : 'usual';
  const rack: readonly RackVial[] = [...drawRack(random), ...(kind === 'mixtures' ? threeMixtures : [])];
  const { vials, truth } = runOfPhysics(drawPhysics(random), rack, random);
  const { series, result } = await judge(measurementOf(vials), {
    run: runOf(vials, readAtS),
    reaction,
    glance: false,
    untilS: null,
    clock: () => new Date(0),
    version: 'truth',
    cacheDir: null,
    baseDir: '.',
    inputs: [],
    chartSha256: null,
  });
  const errors = series.flatMap(({ extent }, vial) =>
    extent.flatMap((value, frame) =>
      value === null ? [] : [{ error: value - truth[vial]![frame]!, at: truth[vial]![frame]! }],
    ),
  );
  const sizes = errors.map(({ error }) => Math.abs(error));
  const middle = errors.filter(({ at }) => at > 0.35 && at < 0.65).map(({ error }) => error);
  const readFrame = vials[0]!.timeS.findIndex((time) => time >= readAtS);
  const negatives = truth.filter((_, vial) => vials[vial]!.role === 'negative').map((extents) => extents[readFrame]!);
  const yardstick = negatives.reduce((sum, value) => sum + value, 0) / negatives.length;
  const firstOrder = rack.flatMap(({ rate }, vial) => (rate === undefined ? [] : [{ rate, vial }]));
  const named = firstOrder.filter(({ vial }) => result.vials[vial]!.fit.model === 'first-order');
  scores.push({
    kind,
    medianError: quantile(sizes, 0.5),
    worstError: quantile(sizes, 0.999),
    midBias: middle.reduce((sum, value) => sum + value, 0) / middle.length,
    rateVials: firstOrder.length,
    rateNamed: named.length,
    rates: named.flatMap(({ rate, vial }) => {
      const constant = result.vials[vial]!.fit.rate_constant;
      if (constant === null) return [];
      const [low, high] = constant.ci95;
      const covered = (low === null || low <= rate) && (high === null || high >= rate);
      return [{ error: constant.value / rate - 1, covered }];
    }),
    extentCovered: result.vials.flatMap(({ extent }, vial) => {
      if (extent.at_read === null) return [];
      const [low, high] = extent.at_read.ci95;
      const true_ = truth[vial]![readFrame]!;
      return [(low === null || low <= true_) && (high === null || high >= true_)];
    }),
    samples: result.samples.map(({ regions, outcome }) => {
      const vial = vials.findIndex(({ region }) => region === regions[0]);
      return { trueDifference: truth[vial]![readFrame]! - yardstick, outcome };
    }),
  });
  if (process.stderr.isTTY) process.stderr.write(`\r${index + 1} of ${values.curves} runs`);
  if (index % 10 === 9) await writeFile(values.out, studyText(scores, { seed: values.seed, margin }));
}
await writeFile(values.out, studyText(scores, { seed: values.seed, margin }));
