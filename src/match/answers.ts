import type { Comparison, SampleAnswer } from './types.ts';

/** What the comparisons of one sample come to. `panel` tells which of the knowns can be told apart. */
export function answerOf(unit: string, against: readonly Comparison[], panel: readonly Comparison[]): SampleAnswer {
  const named = (verdict: Comparison['verdict']): string[] =>
    against.filter((one) => one.verdict === verdict).map(({ second }) => second);
  const agreesWith = named('agrees');
  const notRuledOut = named('cannot tell');
  return { unit, agreesWith, notRuledOut, against, ...said(agreesWith, notRuledOut, panel, against.length) };
}

function said(
  agreesWith: readonly string[],
  notRuledOut: readonly string[],
  panel: readonly Comparison[],
  count: number,
): Pick<SampleAnswer, 'answer' | 'reason'> {
  const open = notRuledOut.length === 0 ? '' : ` Not ruled out: ${list(notRuledOut)}.`;
  if (agreesWith.length > 1) {
    const apart = panel.some(
      ({ first, second, verdict }) =>
        verdict === 'differs' && agreesWith.includes(first) && agreesWith.includes(second),
    );
    const why = apart
      ? 'They can be told apart from each other, but it lies within the margin of each'
      : `Its colour agrees with ${agreesWith.length === 2 ? 'both' : `all ${agreesWith.length}`}, which this test cannot tell apart`;
    return { answer: 'agrees with several', reason: `${why}.${open}` };
  }
  if (agreesWith.length === 1) {
    const others = count - 1 - notRuledOut.length;
    const rest =
      count === 1
        ? 'There is no other reference in this panel.'
        : others === 0
          ? ''
          : `It differs from ${others === 1 ? 'one other' : `${others} others`}.`;
    return { answer: 'agrees with one', reason: `${rest}${open}`.trim() };
  }
  if (notRuledOut.length === 0) {
    return {
      answer: 'like none',
      reason: `It differs from ${count === 1 ? 'the only reference' : `all ${count} references`} of this panel.`,
    };
  }
  return {
    answer: 'cannot tell',
    reason:
      `Nothing agrees within the margin, and ${list(notRuledOut)} could not be ruled out: ` +
      'more vials of the sample and of these references would decide.',
  };
}

function list(names: readonly string[]): string {
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)!}`;
}
