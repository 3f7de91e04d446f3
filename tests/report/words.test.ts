import { expect, it } from 'vitest';
import { samplesInOrder } from '../../src/report/words.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

it('lists the largest difference first, and samples that read alike in the order of the rack', async () => {
  const { result } = await exampleAnalysis({ frames: 61 });
  const [sample] = result.samples;
  const like = (label: string, value: number): (typeof result.samples)[number] => ({
    ...sample!,
    ...{ label, outcome: 'reacted', as_expected: null },
    extent_difference: { ...sample!.extent_difference!, value, se: 0.03 },
  });
  const samples = [like('first', 0.471), like('second', 0.474), like('third', 0.61), like('fourth', 0.469)];
  expect(samplesInOrder({ ...result, samples }).map(({ label }) => label)).toEqual([
    'third',
    'first',
    'second',
    'fourth',
  ]);
});
