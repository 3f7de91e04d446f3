import { expect, it } from 'vitest';
import type { ResultSample } from '../../src/model/result.ts';
import { reasonsOf } from '../../src/report/shared-reasons.ts';
import { exampleAnalysis } from '../support/example-analysis.ts';

const dead =
  "The run's own controls failed: A2, which must react, had not turned, so a sample that stays still proves nothing.";
const numbers = (value: string): string =>
  `Extent 2 h after dosing is ${value} above the mean of 3 negative references`;

const { result } = await exampleAnalysis({ frames: 9 });
const sample = (outcome: ResultSample['outcome'], reason: string): ResultSample => ({
  ...result.samples[0]!,
  ...{ outcome, reason },
});

it('says a reason of several samples once, and its short words at each of them', () => {
  const samples = ['0.032', '0.012'].map((value) => sample('undecided', `${dead} ${numbers(value)}.`));
  const { shared, at } = reasonsOf(samples);
  expect(shared).toEqual([{ short: 'controls failed', sentence: dead, samples }]);
  expect(samples.map(at)).toEqual([
    { short: ['controls failed'], own: '' },
    { short: ['controls failed'], own: '' },
  ]);
});

it("leaves a reason of one sample at its line, without the line's own numbers", () => {
  const [one, other] = [
    sample('undecided', `${dead} ${numbers('0.032')}. Left out: B1 was shaken.`),
    sample('resisted', `${numbers('0.002')}; the upper bound 0.02 is below the margin 0.050.`),
  ];
  const { shared, at } = reasonsOf([one, other]);
  expect(shared).toEqual([]);
  expect(at(one)).toEqual({ short: [], own: `${dead} Left out: B1 was shaken.` });
  expect(at(other)).toEqual({ short: [], own: '' });
});

it('keeps both bounds of samples too near the margin, and says once what would help', () => {
  const near = (value: string, bounds: string): ResultSample =>
    sample(
      'undecided',
      `${numbers(value)}, which is not far enough from the margin 0.050 to decide: bounds ${bounds}. More negative references or replicates narrow the bounds.`,
    );
  const { shared, at } = reasonsOf([near('0.065', '0.031 and 0.089'), near('0.051', '0.022 and 0.072')]);
  expect(shared.map(({ short }) => short)).toEqual(['too near the margin']);
  expect(at(shared[0]!.samples[1]!).own).toBe('Bounds 0.022 and 0.072.');
});

it('takes apart sentences that differ in their numbers only, and joins what goes with them', () => {
  const margin = (errors: string, smallest: string): ResultSample =>
    sample(
      'undecided',
      `The margin 0.020 cannot be met in this run (standard errors: ${errors}): the smallest that could be is ${smallest}. More negative references or replicates bring it down. ${numbers('0.010')}.`,
    );
  const { shared, at } = reasonsOf([margin('spread between vials 0.013', '0.024'), margin('light 0.011', '0.022')]);
  expect(shared.map(({ short, sentence }) => `${short}: ${sentence}`)).toEqual([
    'margin too small: The margin 0.020 cannot be met in this run; the smallest that could be stands at each sample. More negative references or replicates bring it down.',
  ]);
  expect(shared[0]!.samples.map((one) => at(one).own)).toEqual([
    'Smallest margin 0.024 (standard errors: spread between vials 0.013).',
    'Smallest margin 0.022 (standard errors: light 0.011).',
  ]);
  const stopped = ['B1', 'B2'].map((region) =>
    sample(
      'undecided',
      `stopped early: ${region} was watched for 118 min after dosing, the reading time is 3 h 20 min.`,
    ),
  );
  expect(reasonsOf(stopped).at(stopped[1]!)).toEqual({
    short: ['stopped early'],
    own: '',
  });
});

it('numbers a shared sentence that has no short words', () => {
  const { shared } = reasonsOf([1, 2].map(() => sample('undecided', 'Something new was in the way.')));
  expect(shared.map(({ short }) => short)).toEqual(['note 1']);
});
