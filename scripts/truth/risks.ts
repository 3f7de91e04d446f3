import { falselyReacted, falselyResisted } from './outcomes.ts';
import { alpha, margin } from './racks.ts';
import type { RunScore } from './score.ts';
import { clusteredShare, shareText, type Share } from './statistics.ts';

/** Risks, power and undecided shares of sound racks against their goals, as a table. */
export function risks(sound: readonly RunScore[], edges: readonly RunScore[]): readonly string[] {
  const share = (of: (score: RunScore) => readonly boolean[], runs = sound): Share => clusteredShare(runs.map(of));
  const all = [...sound, ...edges];
  const still = share(({ samples }) => {
    const below = samples.filter(({ difference }) => difference <= margin);
    return below.length === 0 ? [] : [below.some(falselyReacted)];
  }, edges);
  const near = share(
    ({ samples }) =>
      samples.filter(({ difference }) => difference >= margin && difference < margin + 0.02).map(falselyResisted),
    all,
  );
  const power = share(({ samples }) =>
    samples
      .filter(({ difference }) => difference >= margin + 0.04 && difference < margin + 0.06)
      .map(({ outcome }) => outcome === 'reacted'),
  );
  const undecided = share(({ samples }) => samples.map(({ outcome }) => outcome === 'undecided'));
  const many = share(({ samples }) => [samples.filter(({ outcome }) => outcome === 'undecided').length > 1]);
  const judged = (value: Share, limit: number, side: 'at most' | 'at least'): string => {
    const got = value.hits / value.of;
    const missed = side === 'at most' ? got > limit : got < limit;
    return missed ? `**missed by ${(100 * Math.abs(got - limit)).toFixed(1)} %**` : 'met';
  };
  const line = (name: string, value: Share, limit: number, side: 'at most' | 'at least'): string =>
    `| ${name} | ${shareText(value)} | ${side} ${100 * limit} % | ${value.of === 0 ? 'none' : judged(value, limit, side)} |`;
  return [
    '| risk | found | goal | |',
    '|---|---|---|---|',
    line('runs at the margin with a false `reacted` (true difference at or below it)', still, alpha, 'at most'),
    line('false `resisted` of samples up to 0.02 above the margin', near, alpha, 'at most'),
    line('`reacted` where the true difference is 0.04 to 0.06 above the margin', power, 0.9, 'at least'),
    line('samples undecided', undecided, 1 / 6, 'at most').replace(/16\.6\d* %/, 'one in six'),
    `| runs with more than one of six undecided | ${shareText(many)} | none | ${many.hits === 0 ? 'met' : '**missed**'} |`,
  ];
}
