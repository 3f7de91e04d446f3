import { boundingBox } from '../model/region-box.ts';
import type { Region } from '../model/region.ts';
import type { Finding } from './findings.ts';
import { areaOf, overlapOf } from './region-geometry.ts';
import type { RigFile } from './schemas/rig.ts';

/** Overlap, as a share of the smaller region, from which two regions are taken to lie on one vial. */
const overlapLimit = 0.5;
/** Fewest pixels that a region may cover; below, no robust colour can be had. Chosen: 3 x 3. */
const smallestArea = 9;

interface Placed {
  readonly list: 'regions' | 'white';
  readonly index: number;
  readonly region: Region;
}

/** What is wrong in a rig file beyond its shape. */
export function rigFindings(rig: RigFile): Finding[] {
  const placed: Placed[] = [
    ...rig.regions.map((region, index) => ({ list: 'regions' as const, index, region })),
    ...(rig.white ?? []).map((region, index) => ({ list: 'white' as const, index, region })),
  ];
  return [
    ...noRegions(rig),
    ...placed.flatMap((entry) => outsideFrame(entry, rig.frame)),
    ...placed.flatMap(tooSmall),
    ...repeatedIds(placed),
    ...overlaps(placed),
    ...chartOutside(rig),
  ];
}

function noRegions(rig: RigFile): Finding[] {
  if (rig.regions.length > 0) return [];
  return [
    {
      code: 'no-regions',
      key: ['regions'],
      message: 'no vial has been placed yet',
      expected: 'one region a vial',
      hint: 'place them on a frame with "vialapse rig SOURCE", or write them by hand as the README shows',
    },
  ];
}

function outsideFrame({ list, index, region }: Placed, frame: RigFile['frame']): Finding[] {
  const { left, top, right, bottom } = boundingBox(region);
  if (left >= 0 && top >= 0 && right <= frame.width && bottom <= frame.height) return [];
  return [
    {
      code: 'region-outside-frame',
      key: [list, index],
      message: `region "${region.id}" reaches outside the frame`,
      expected: `x within 0..${frame.width}, y within 0..${frame.height}`,
      got: `x ${left}..${right}, y ${top}..${bottom}`,
      hint: 'move or shrink it; if the camera was changed, place the regions again',
    },
  ];
}

function tooSmall({ list, index, region }: Placed): Finding[] {
  const area = areaOf(region);
  if (area >= smallestArea) return [];
  return [
    {
      code: 'region-too-small',
      key: [list, index],
      message: `region "${region.id}" is too small to read a colour from`,
      expected: `at least ${smallestArea} pixels`,
      got: `${area.toFixed(1)} pixels`,
      hint: 'draw it over the whole of the liquid',
    },
  ];
}

function repeatedIds(placed: readonly Placed[]): Finding[] {
  const seen = new Set<string>();
  return placed.flatMap(({ list, index, region }) => {
    if (!seen.has(region.id)) {
      seen.add(region.id);
      return [];
    }
    return [
      {
        code: 'repeated-id',
        key: [list, index, 'id'],
        message: `two regions are called "${region.id}"`,
        hint: 'give each region and patch its own id',
      },
    ];
  });
}

function overlaps(placed: readonly Placed[]): Finding[] {
  return placed.flatMap((first, position) =>
    placed.slice(position + 1).flatMap((second) => {
      const share = overlapOf(first.region, second.region);
      if (share <= overlapLimit) return [];
      return [
        {
          code: 'regions-overlap',
          key: [second.list, second.index],
          message: `regions "${first.region.id}" and "${second.region.id}" lie on one another`,
          expected: 'one region a vial',
          got: `${Math.round(share * 100)} % of the smaller one is shared`,
          hint: 'remove one of them, or move it to its own vial',
        },
      ];
    }),
  );
}

function chartOutside(rig: RigFile): Finding[] {
  return (rig.chart?.corners ?? []).flatMap(([x, y], index) =>
    x >= 0 && y >= 0 && x <= rig.frame.width && y <= rig.frame.height
      ? []
      : [
          {
            code: 'chart-outside-frame',
            key: ['chart', 'corners', index],
            message: 'a corner of the chart lies outside the frame',
            expected: `x within 0..${rig.frame.width}, y within 0..${rig.frame.height}`,
            got: `${x}, ${y}`,
          },
        ],
  );
}
