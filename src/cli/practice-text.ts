import { Document, isSeq } from 'yaml';
import type { Bench } from '../plan/bench.ts';
import type { Plan } from '../plan/plan.ts';
import { snakeKeys } from './camel-keys.ts';
import { onOneLine } from './on-one-line.ts';

/** `scenario.yaml`: the plan as a film of the forward model, ready for `vialapse simulate`. */
export function practiceText(bench: Bench, plan: Plan): string {
  const { scenario, dirty } = plan.practice;
  const document = new Document(snakeKeys({ schema: 'vialapse/scenario@1', plan: 'bench.yaml', ...scenario }));
  const { molPercent, impurity } = bench.level;
  document.commentBefore = [
    ' The planned run for practice, before any reagent is spent: a modelled film, not photographed.',
    '   vialapse simulate scenario.yaml --out practice && vialapse analyse practice/run.yaml',
    ...(dirty === null
      ? [' All samples are as clean as the negative references.']
      : [
          ` Of the clean samples, ${dirty} is given what must not be missed (${molPercent} mol % of ${impurity}); change "kinetics" to try others.`,
        ]),
  ].join('\n');
  const vials = document.get('vials', true);
  if (isSeq(vials)) vials.items.forEach(onOneLine);
  for (const key of ['frame', 'reading', 'rack']) onOneLine(document.get(key, true));
  return document.toString({ lineWidth: 0 });
}
