import type { ResultSample } from '../model/result.ts';

/** A sentence that several samples have in common, said once for all of them. */
export interface SharedReason {
  /** The few words that stand for it at each sample. */
  readonly short: string;
  readonly sentence: string;
  readonly samples: readonly ResultSample[];
}

/** What is said at a sample itself: words that stand for shared sentences, and the sentences that are its own. */
export interface OwnReason {
  readonly short: readonly string[];
  readonly own: string;
}

const tooNear = 'too near the margin';

/** The reasons of the judge in a few words, by what only they say. */
const shortWords: readonly (readonly [RegExp, string])[] = [
  [/own controls failed/, 'controls failed'],
  [/^One negative reference and no history/, 'one negative only'],
  [/^One negative reference shows no spread/, 'spread assumed'],
  [/^No negative reference is in the rack/, 'no negative in the rack'],
  [/^(The negative references are no yardstick)/, 'negatives turned'],
  [/no negative reference (can serve|could be read)/i, 'no yardstick'],
  [/^No positive reference is in the rack|^No positive reference shows/, 'reagent not proven'],
  [/^The margin .* cannot be met/, 'margin too small'],
  [/^No positive reference reached its plateau/, 'scale not pinned'],
  [/^Extents are relative/, 'extents relative'],
  [/^No neutral patch/, 'light not known'],
  [/^stopped early/i, 'stopped early'],
  [/^More negative references or replicates narrow/, tooNear],
];

/**
 * The reasons of samples without repetition. A sentence of two samples or more is shared; one that only puts the numbers of
 * the sample's own line in words is left out, since it stands in full elsewhere.
 */
export function reasonsOf(samples: readonly ResultSample[]): {
  readonly shared: readonly SharedReason[];
  readonly at: (sample: ResultSample) => OwnReason;
} {
  const users = new Map<string, ResultSample[]>();
  for (const sample of samples) {
    for (const sentence of remarks(sample)) users.set(sentence, [...(users.get(sentence) ?? []), sample]);
  }
  const shared: SharedReason[] = [];
  for (const [sentence, sharing] of users) {
    if (sharing.length < 2) continue;
    const known = shortWords.find(([pattern]) => pattern.test(sentence))?.[1];
    shared.push({ short: known ?? `note ${shared.length + 1}`, sentence, samples: sharing });
  }
  return {
    shared,
    at: (sample) => {
      const short = shared.filter((one) => one.samples.includes(sample)).map((one) => one.short);
      const own = remarks(sample).filter((sentence) => (users.get(sentence)?.length ?? 0) < 2);
      const bare = (sentence: string): string =>
        short.includes(tooNear) ? sentence.replace(/^Not far enough .+ to decide: bounds/, 'Bounds') : sentence;
      return { short, own: own.map(bare).join(' ') };
    },
  };
}

/** The sentences of a reason that say more than the numbers of the sample's line. */
function remarks({ reason, outcome }: ResultSample): readonly string[] {
  return reason.split(/(?<=[.]) (?=[A-Z])/).flatMap((sentence, index) => {
    const numbers = /^Extent .+ after dosing is .+ the mean of \d+ negative references?/.exec(sentence)?.[0];
    if (numbers !== undefined) {
      // of a sample too near the margin the rest holds both bounds, of which the line has one
      const rest = /^, which is (not far enough .+)$/.exec(sentence.slice(numbers.length))?.[1];
      return rest === undefined ? [] : [rest.charAt(0).toUpperCase() + rest.slice(1)];
    }
    return index === 0 && outcome !== 'undecided' ? [] : [sentence];
  });
}
