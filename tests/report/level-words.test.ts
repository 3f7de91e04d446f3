import { expect, it } from 'vitest';
import type { Result, ResultLevel, ResultTime } from '../../src/model/result.ts';
import { countingRules, levelHead, levelWords } from '../../src/report/level-words.ts';
import { onsetWords } from '../../src/report/words.ts';
import { crowdedAnalysis } from '../support/crowded-analysis.ts';

const spiked: ResultLevel = {
  ...{ value: 1.93, ci95: [1.71, 2.18], limit: 0.29, as: 'mol %, as the spiked standards (apparent)' },
  ...{ electrons: null, basis: 'standards', only_more_than: false },
};

it('says what holds for all levels in the head, once', async () => {
  const { result } = await crowdedAnalysis();
  expect(levelHead(result)).toBe('Level (apparent), 95\u00a0%');
  const ofStandards: Result = { ...result, samples: result.samples.map((one) => ({ ...one, level: spiked })) };
  expect(levelHead(ofStandards)).toBe('Level (apparent), as the spiked standards, 95\u00a0%');
  expect(levelWords(spiked)).toEqual({ said: '1.9 mol %', details: ['1.7 to 2.2'], countedAs: [] });
  expect(levelWords({ ...spiked, value: null, ci95: [null, 0.29] }).said).toBe('below 0.29 mol %');
});

// One mole per cent of a substance that gives n electrons is 10 n meq per mole of sample.
it('counts equivalents as substances, and says the rule by which it does', async () => {
  const { result } = await crowdedAnalysis();
  const reacted = result.samples.find(({ outcome }) => outcome === 'reacted')!;
  expect(levelWords(reacted.level)).toEqual({
    ...{ said: '35 meq/mol', details: ['26 to 44'] },
    countedAs: ['0.87\u00a0mol\u00a0% as 1-butanol', '1.7\u00a0mol\u00a0% as 2-butanol'],
  });
  expect(countingRules(result).replaceAll('\u00a0', ' ')).toBe(
    'mol % = meq/mol ÷ 40 as 1-butanol (4 e⁻), ÷ 20 as 2-butanol (2 e⁻).',
  );
});

const onset = (value: number, ci95: ResultTime['ci95']): ResultTime => ({ value, se: null, ci95, censored: 'none' });

it.each([
  [onset(2580, [2460, 2700]), '41 to 45 min'],
  [onset(600, [0, 2400]), '0 to 40 min'],
  [onset(1200, [1, 4800]), '0 to 1 h 20 min'],
  [onset(2940, [0, null]), 'at any time'],
  [onset(2940, [1200, null]), 'after 20 min'],
  [onset(2940, [null, 4800]), 'before 1 h 20 min'],
])('says between which times an onset lies', (time, said) => {
  expect(onsetWords([time]).detail).toBe(said);
});
