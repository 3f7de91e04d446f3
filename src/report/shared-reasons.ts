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
  [/^(The film )?stopped early/i, 'stopped early'],
  [/^More negative references or replicates narrow/, tooNear],
];

/** Sentences that differ from sample to sample in their numbers only: what of them is common, and what is left to each. */
const common: readonly (readonly [RegExp, shared: string, own: string])[] = [
  [
    /^The margin (\S+) cannot be met in this run \((standard errors: .+)\): the smallest that could be is (\S+)\.$/,
    'The margin $1 cannot be met in this run; the smallest that could be stands at each sample.',
    'Smallest margin $3 ($2).',
  ],
  [
    /^stopped early: (\S+) was watched for (.+) after dosing, the reading time is (.+)\.$/,
    'The film stopped early: before the reading time of $3 after dosing.',
    '',
  ],
];

interface Remark {
  readonly sentence: string;
  readonly shared: string;
  readonly own: string;
}

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
    for (const { shared } of remarks(sample)) users.set(shared, [...(users.get(shared) ?? []), sample]);
  }
  const shared = named([...users].filter(([, sharing]) => sharing.length > 1));
  return {
    shared,
    at: (sample) => {
      const short = shared.filter((one) => one.samples.includes(sample)).map((one) => one.short);
      const own = remarks(sample).map((remark) =>
        (users.get(remark.shared)?.length ?? 0) > 1 ? remark.own : remark.sentence,
      );
      const bare = (sentence: string): string =>
        short.includes(tooNear) ? sentence.replace(/^Not far enough .+ to decide: bounds/, 'Bounds') : sentence;
      return { short, own: own.flatMap((sentence) => (sentence === '' ? [] : [bare(sentence)])).join(' ') };
    },
  };
}

/** Shared sentences with their short words; one without words of its own is added to the sentence before it of the same samples. */
function named(sentences: readonly (readonly [string, readonly ResultSample[]])[]): readonly SharedReason[] {
  const found: SharedReason[] = [];
  for (const [sentence, samples] of sentences) {
    const known = shortWords.find(([pattern]) => pattern.test(sentence))?.[1];
    const last = found.at(-1);
    const alike = last?.samples.length === samples.length && last.samples.every((sample) => samples.includes(sample));
    if (known === undefined && last !== undefined && alike) {
      found[found.length - 1] = { ...last, sentence: `${last.sentence} ${sentence}` };
    } else {
      found.push({ short: known ?? `note ${found.length + 1}`, sentence, samples });
    }
  }
  return found;
}

/** The sentences of a reason that say more than the numbers of the sample's line. */
function remarks({ reason, outcome }: ResultSample): readonly Remark[] {
  return reason.split(/(?<=[.]) (?=[A-Z])/).flatMap((sentence, index) => {
    const numbers = /^Extent .+ after dosing is .+ the mean of \d+ negative references?/.exec(sentence)?.[0];
    if (numbers !== undefined) {
      // of a sample too near the margin the rest holds both bounds, of which the line has one
      const rest = /^, which is (not far enough .+)$/.exec(sentence.slice(numbers.length))?.[1];
      return rest === undefined ? [] : [remark(rest.charAt(0).toUpperCase() + rest.slice(1))];
    }
    return index === 0 && outcome !== 'undecided' ? [] : [remark(sentence)];
  });
}

function remark(sentence: string): Remark {
  const parts = common.find(([pattern]) => pattern.test(sentence));
  if (parts === undefined) return { sentence, shared: sentence, own: '' };
  const [pattern, shared, own] = parts;
  return { sentence, shared: sentence.replace(pattern, shared), own: sentence.replace(pattern, own) };
}
