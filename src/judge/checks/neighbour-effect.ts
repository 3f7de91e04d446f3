import type { Point, Region } from '../../model/region.ts';
import { turnedExtent } from '../controls.ts';
import { localEstimate } from '../local-estimate.ts';
import { kendallS, rankTest } from '../rank-test.ts';
import type { Check, Situation } from '../situation.ts';
import { extentText } from '../text.ts';
import type { JudgedVial } from '../types.ts';

/** Fewest still vials from which a falling-off can be told from chance (with four, 1 in 24 orders falls). */
const fewestStill = 4;
const level = 0.05;
/** Rise of the most affected above the least that is worth a word, in extent; chosen: the median error an extent is held to. */
const leastRise = 0.02;

interface Riser {
  readonly judged: JudgedVial;
  readonly rise: number;
  readonly distance: number;
  readonly source: string;
}

/**
 * Whether vials that should be still rose the more the nearer they stand to a vial that turned. Only ever "consistent with": the order of
 * dosing and a gradient across the rack (lamp, warmth) are looked at first.
 */
export const neighbourEffect: Check = (situation) => {
  const code = 'neighbour-effect';
  const risers = findRisers(situation);
  if (risers.length < fewestStill) return [];
  const rises = risers.map(({ rise }) => rise);
  const distances = risers.map(({ distance }) => distance);
  const test = rankTest(distances, rises);
  const most = risers.reduce((best, one) => (one.rise > best.rise ? one : best));
  const span = most.rise - Math.min(...rises);
  if (test.pFalling > level || span < leastRise) {
    return [
      {
        code,
        status: 'pass',
        message: 'Still vials near one that turned did not rise more than those far from it.',
      },
    ];
  }
  const seen = `Vials that should be still rose by up to ${extentText(span)} more near ${most.source} than far from it, after it had turned`;
  const other = otherExplanation(situation, risers, Math.abs(test.s));
  const message =
    other === null
      ? `${seen}: consistent with vapour from ${most.source}. Put volatile reducers at the edge, and a blank beside them.`
      : `${seen}, but ${other} explains it as well.`;
  return [{ code, status: 'warn', message }];
};

function findRisers({ input, vials }: Situation): readonly Riser[] {
  const place = (judged: JudgedVial): Point | null =>
    centreOf(input.run.rig.regions.find(({ id }) => id === judged.vial.region));
  const fast = vials.flatMap((judged) => {
    const at = judged.usable.extent.findIndex((value) => value > turnedExtent);
    const point = place(judged);
    if (at < 0 || point === null || !(judged.vial.role === 'positive' || judged.vial.role === 'sample')) return [];
    return [{ region: judged.vial.region, point, turnedRunS: judged.usable.timeS[at]! + judged.series.addedRunS }];
  });
  return vials.flatMap((judged) => {
    const { role, expect } = judged.vial;
    const point = place(judged);
    const stillByNature = role === 'blank' || role === 'negative' || (role === 'sample' && expect === 'resists');
    const endS = judged.usable.timeS.at(-1);
    if (!stillByNature || point === null || endS === undefined || judged.last!.value > turnedExtent) return [];
    const near = fast
      .map((one) => ({ ...one, distance: Math.hypot(one.point[0] - point[0], one.point[1] - point[1]) }))
      .sort((first, second) => first.distance - second.distance)[0];
    const sinceS =
      near === undefined ? Infinity : Math.max(near.turnedRunS - judged.series.addedRunS, judged.usable.timeS[0]!);
    if (near === undefined || sinceS >= endS) return [];
    const before = localEstimate(judged.usable, judged.fit, sinceS)!;
    return [{ judged, rise: judged.last!.value - before.value, distance: near.distance, source: near.region }];
  });
}

/** Dosing order or a straight gradient that ranks the rises as well as distance does; `null`: neither. */
function otherExplanation({ input }: Situation, risers: readonly Riser[], strength: number): string | null {
  const rises = risers.map(({ rise }) => rise);
  const along = (value: (riser: Riser) => number): number => Math.abs(kendallS(risers.map(value), rises));
  if (along(({ judged }) => judged.series.addedRunS) >= strength) return 'the order of dosing';
  const point = (riser: Riser): Point =>
    centreOf(input.run.rig.regions.find(({ id }) => id === riser.judged.vial.region)) ?? [0, 0];
  if (along((riser) => point(riser)[0]) >= strength || along((riser) => point(riser)[1]) >= strength) {
    return 'a gradient across the rack (lamp or warmth)';
  }
  return null;
}

function centreOf(region: Region | undefined): Point | null {
  if (region === undefined) return null;
  if (region.shape === 'rect') return [region.x + region.width / 2, region.y + region.height / 2];
  if (region.shape === 'ellipse') return [region.cx, region.cy];
  const n = region.points.length;
  return [
    region.points.reduce((sum, point) => sum + point[0], 0) / n,
    region.points.reduce((sum, point) => sum + point[1], 0) / n,
  ];
}
