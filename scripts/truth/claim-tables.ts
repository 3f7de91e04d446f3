import { coverage } from './tables.ts';
import type { RunScore } from './score.ts';
import type { ClaimScore } from './score-claims.ts';
import { clusteredShare, quantile, shareText } from './statistics.ts';

const sides = ['second physics', 'forward model', 'film', 'small film', 'stills'] as const;

/** Claims of sound racks by source: onsets, ratios, levels, window; then models named against true ones. */
export function claimTables(scores: readonly RunScore[]): readonly string[] {
  const row = (name: string, goal: string, cell: (runs: readonly ClaimScore[]) => string): string =>
    `| ${[name, ...sides.map((side) => cell(scores.filter(({ source }) => source === side).map(({ claims }) => claims))), goal].join(' | ')} |`;
  const share =
    (of: (claims: ClaimScore) => readonly boolean[]) =>
    (runs: readonly ClaimScore[]): string =>
      shareText(clusteredShare(runs.map(of)));
  const covered =
    (of: (claims: ClaimScore) => readonly boolean[]) =>
    (runs: readonly ClaimScore[]): string =>
      coverage(clusteredShare(runs.map(of)));
  const middle =
    (of: (claims: ClaimScore) => readonly (number | null)[], digits: number, factor: number, unit: string) =>
    (runs: readonly ClaimScore[]): string => {
      const known = runs.flatMap(of).filter((value) => value !== null);
      const spread = known.map(Math.abs);
      return known.length === 0
        ? 'none'
        : `${(factor * quantile(spread, 0.5)).toFixed(digits)}; ${(factor * quantile(spread, 0.95)).toFixed(digits)}${unit}`;
    };
  const ratio = (name: ClaimScore['ratios'][number]['of']) => (claims: ClaimScore) =>
    claims.ratios.filter(({ of }) => of === name);
  const ratioRows = (['constants', 'initial rates', 'half-times'] as const).flatMap((name) => [
    row(
      `ratios of ${name}: 95 % interval holds`,
      '93 to 97 %',
      covered((claims) => ratio(name)(claims).map((one) => one.covered)),
    ),
    row(
      `their absolute error: median; 95th percentile`,
      '',
      middle((claims) => ratio(name)(claims).map(({ error }) => error), 1, 100, ' %'),
    ),
  ]);
  const level = (basis: ClaimScore['levels'][number]['basis']) => (claims: ClaimScore) =>
    claims.levels.filter((one) => one.basis === basis);
  const levelRows = (['electrons', 'standards'] as const).flatMap((basis) => [
    row(
      `levels by ${basis}: 95 % interval holds`,
      '93 to 97 %',
      covered((claims) =>
        level(basis)(claims)
          .filter(({ said }) => said === 'value')
          .map((one) => one.covered),
      ),
    ),
    row(
      'their absolute error: median; 95th percentile',
      '',
      middle((claims) => level(basis)(claims).map(({ error }) => error), 1, 100, ' %'),
    ),
    row(
      'level 0, yet something seen',
      'at most 5 %',
      share((claims) =>
        level(basis)(claims)
          .filter(({ inLimits }) => inLimits === 0)
          .map(({ said }) => said !== 'not seen'),
      ),
    ),
    row(
      'level above the stated limit, yet not seen',
      'at most 5 %',
      share((claims) =>
        level(basis)(claims)
          .filter(({ inLimits }) => inLimits > 1)
          .map(({ said }) => said === 'not seen'),
      ),
    ),
    row(
      '"more than" truly less',
      'at most 5 %',
      share((claims) =>
        level(basis)(claims)
          .filter(({ said }) => said === 'more than')
          .map((one) => !one.covered),
      ),
    ),
  ]);
  return [
    `| figure | ${sides.join(' | ')} | goal |`,
    `|---|${sides.map(() => '---|').join('')}---|`,
    row(
      'runs with an onset in a vial that stays still',
      'at most 5 %',
      share(({ onsets }) => {
        const still = onsets.filter((one) => one.still);
        return still.length === 0 ? [] : [still.some(({ seen }) => seen)];
      }),
    ),
    row(
      'onsets wholly before anything happened',
      'at most 5 %',
      share(({ onsets }) => onsets.filter(({ seen, still }) => seen && !still).map(({ early }) => early)),
    ),
    row(
      'true extent at the onset: median; 95th percentile',
      '',
      middle(({ onsets }) => onsets.filter(({ still }) => !still).map(({ extent }) => extent), 4, 1, ''),
    ),
    ...ratioRows,
    row(
      'upper limits of rate ratios hold',
      'at least 95 %',
      share((claims) => ratio('upper limit')(claims).map((one) => one.covered)),
    ),
    ...levelRows,
    row(
      'reading window found where there is one',
      '',
      share(({ window }) => (window.there ? [window.found] : [])),
    ),
    row(
      'error of its opening: median; 95th percentile',
      '',
      middle(({ window }) => [window.openingError], 1, 100, ' %'),
    ),
    '',
    'Models named, of all vials but mixtures:',
    '',
    ...modelTable(scores),
  ];
}

function modelTable(scores: readonly RunScore[]): readonly string[] {
  const all = scores.flatMap(({ claims }) => claims.models);
  const truths = [...new Set(all.map((one) => one.true))].sort();
  const named = [...new Set(all.map((one) => one.named ?? 'no fit'))].sort();
  return [
    `| true | ${named.join(' | ')} |`,
    `|---|${named.map(() => '---|').join('')}`,
    ...truths.map((truth) => {
      const of = all.filter((one) => one.true === truth);
      const cells = named.map((name) => {
        const percent = (100 * of.filter((one) => (one.named ?? 'no fit') === name).length) / of.length;
        return percent === 0 ? '' : `${percent.toFixed(1)} %`;
      });
      return `| ${truth} (${of.length}) | ${cells.join(' | ')} |`;
    }),
  ];
}
