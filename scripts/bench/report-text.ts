import { upperMedian } from '../../src/numeric/median.ts';
import type { Format } from './media-formats.ts';

/** One after the other on the same file. Seconds of wall time; memory in MB, `null` where it cannot be looked at. */
export interface Pair {
  /** Of the machine, one minute, before. */
  readonly load: number;
  readonly bareS: number;
  readonly coloursS: number;
  readonly wholeS: number;
  /** `analyse` again, with the measurement kept. */
  readonly againS: number;
  readonly nodeMb: number | null;
  readonly decoderMb: number | null;
  readonly treeMb: number | null;
  readonly scriptS: number | null;
}

export interface Row {
  readonly format: Format;
  readonly frames: number;
  readonly regions: number;
  readonly pairs: readonly Pair[];
}
const least = (all: readonly number[]): number => Math.min(...all);
const largest = (all: readonly (number | null)[]): string => {
  const known = all.filter((one) => one !== null);
  return known.length === 0 ? 'not known' : Math.max(...known).toFixed(0);
};

export function reportText(
  rows: readonly Row[],
  facts: { readonly machine: string; readonly helpMs: readonly number[]; readonly python: boolean },
): string {
  const loads = rows.flatMap(({ pairs }) => pairs.map(({ load }) => load));
  const busy = Math.max(...loads);
  const lines = rows.map(({ format, frames, regions, pairs }) => {
    const of = (pick: (pair: Pair) => number): number[] => pairs.map(pick);
    const ratio = upperMedian(of(({ coloursS, bareS }) => coloursS / bareS));
    const scripts = pairs.flatMap(({ scriptS, wholeS }) => (scriptS === null ? [] : [scriptS / wholeS]));
    return [
      ...[format.shown, frames, regions, least(of(({ bareS }) => bareS)).toFixed(1), ratio.toFixed(2)],
      ...[format.goal.toFixed(2), ratio <= format.goal ? 'met' : `missed by ${(ratio - format.goal).toFixed(2)}`],
      ...[least(of(({ wholeS }) => wholeS)).toFixed(1), least(of(({ wholeS, bareS }) => wholeS - bareS)).toFixed(1)],
      (frames / least(of(({ wholeS }) => wholeS))).toFixed(0),
      least(of(({ againS }) => againS)).toFixed(1),
      ...[largest(pairs.map(({ nodeMb }) => nodeMb)), largest(pairs.map(({ decoderMb }) => decoderMb))],
      largest(pairs.map(({ treeMb }) => treeMb)),
      scripts.length === 0 ? 'skipped' : upperMedian(scripts).toFixed(1),
    ].join(' | ');
  });
  return `# Speed

Made by \`npm run bench\` on ${facts.machine}.

Load of the machine (one minute) before the pairs: ${least(loads).toFixed(1)} to ${busy.toFixed(1)}${busy > 2 ? '. **Other work ran at the same time: wall times below are several times too long and ratios uncertain; run it again on a quiet machine before believing a miss or a hit.**' : '.'}

Everything is paired: the bare decode (\`ffmpeg -i X -f null -\` with its default threads; pictures: each decoded whole, one
after another), then this tool on the same file. Every frame has fresh noise. Ratios are medians, seconds the least
of ${rows[0]?.pairs.length ?? 0} pair(s).

- *colours*: pixels to colours, over the bare decode. *goal*: what we aim at for it.
- *regions*: 24 is what the aims are for; rows of fewer and more, over fewer frames, show what regions cost.
- *analyse*: the whole command, fits and report included, nothing kept from before. *extra*: less the bare decode; the aim is
  3 s for 1,440 frames and 24 regions.
- *again*: the same command with the measurement kept; the aim is 1 s.
- *Node*, *ffmpeg*, *all*: largest resident memory of Node (aim 150 MB), of one decoder (aim 110 MB at 1080p), and of the whole
  tree, MB, looked at every 50 ms.
- *script*: \`scripts/bench/opencv.py\` (Python, OpenCV, NumPy) over the whole \`analyse\`, in times; ${facts.python ? 'measured in the same pairs' : 'skipped: OpenCV is not installed here'}. Aims: 2 at 20 Mbit/s, 2.4 at 2 Mbit/s, 4 on JPEG.

| source | frames | regions | bare s | colours | goal | | analyse s | extra s | frames/s | again s | Node MB | ffmpeg MB | all MB | script |
|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|
${lines.map((line) => `| ${line} |`).join('\n')}

\`vialapse --help\`: ${least(facts.helpMs).toFixed(0)} ms at best, ${upperMedian(facts.helpMs).toFixed(0)} ms median of ${facts.helpMs.length} (aim: 150 ms on a quiet machine).
`;
}
