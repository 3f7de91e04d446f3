import { fromReference } from './colour/index.ts';
import { decodePng, type OpenSource } from './frames/index.ts';
import { boundingBox } from './model/region-box.ts';
import type { MeasurementNote } from './model/measurement.ts';
import type { Point, Region, Rig } from './model/region.ts';
import type { Shift } from './model/shift.ts';
import { cropMarginPixels, greyOfImage, registerThumbnail } from './motion/index.ts';

/** The rig where its vials lie in this run's first frame. */
export interface PlacedRig {
  readonly rig: Rig;
  readonly notes: readonly MeasurementNote[];
  /** Where the rig file's places lie in this run's first frame; `null`: where they were placed. */
  readonly shift: Shift | null;
}

/** Confidence from which the small picture counts as found again. Chosen: half of its still places. */
const recognised = 0.5;
/** Pixels of the small picture below which the frame lies where the rig was placed: the error of finding it. Chosen. */
const smallestMove = 0.3;

/**
 * Finds the rig's thumbnail in the first frame and moves regions, patches and chart along. Beyond the margin that a nudge in mid-run
 * may use, the run is failed: the camera was set up anew, and the rig with it. Without a thumbnail the rig stays as it is.
 */
export async function placeRig(source: OpenSource, rig: Rig): Promise<PlacedRig> {
  const unmoved = (...notes: MeasurementNote[]): PlacedRig => ({ rig, notes, shift: null });
  if (rig.thumbnail === null) return unmoved();
  const small = decodePng(Buffer.from(rig.thumbnail.slice(rig.thumbnail.indexOf(',') + 1), 'base64'));
  const { width, height } = source.info;
  if (small === null || Math.abs(small.width / small.height - width / height) > 0.05 * (width / height)) {
    return unmoved(
      note(
        'warn',
        'rig-thumbnail-unreadable',
        'The rig\u2019s thumbnail has another shape than this frame, so it was not checked whether the camera stands where it stood when the regions were placed.',
      ),
    );
  }
  const { image } = await source.still(0);
  const found = registerThumbnail(greyOfImage(small), greyOfImage(image), [...rig.regions, ...rig.white]);
  if (found === null || found.confidence < recognised) {
    return unmoved(
      note(
        'warn',
        'rig-camera-not-recognised',
        'The first frame does not look like the picture that the rig was placed on: check in the preview that the regions lie on the vials.',
      ),
    );
  }
  const centre = { x: width / 2, y: height / 2 };
  const largest = rig.regions
    .map((region) => displacement(found, centre, region))
    .reduce<Point>((most, move) => (Math.hypot(...move) > Math.hypot(...most) ? move : most), [0, 0]);
  const size = Math.hypot(...largest);
  if (size < smallestMove * (width / small.width)) return unmoved();
  const moved = movedRig(rig, (region) => displacement(found, centre, region), found, centre);
  const where = `${size.toFixed(1)} px (${sideways(largest)})`;
  if (!moved.regions.every((region) => inside(region, width, height))) {
    return unmoved(
      note(
        'fail',
        'rig-camera-shifted',
        `Since the rig was placed the picture has moved by ${where}, and vials left it: place the regions again with "vialapse rig".`,
      ),
    );
  }
  if (size > cropMarginPixels(width)) {
    return {
      rig: moved,
      shift: found,
      notes: [
        note(
          'fail',
          'rig-camera-shifted',
          `Since the rig was placed the picture has moved by ${where}, more than the ${cropMarginPixels(width)} px of a nudge. The regions were moved along, but the camera no longer stands where it did: place them again with "vialapse rig", or put the camera back.`,
        ),
      ],
    };
  }
  return {
    rig: moved,
    shift: found,
    notes: [
      note(
        'info',
        'rig-camera-shifted',
        `Since the rig was placed the picture has moved by ${where}; the regions were moved along.`,
      ),
    ],
  };
}

/** How far a region's middle lies from where the rig has it. */
function displacement(shift: Shift, centre: { readonly x: number; readonly y: number }, region: Region): Point {
  const box = boundingBox(region);
  const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
  const [toX, toY] = fromReference(shift, centre, x, y);
  return [toX - x, toY - y];
}

/** Every region moved as a whole: over one vial, a turn of the camera makes no difference. */
function movedRig(
  rig: Rig,
  by: (region: Region) => Point,
  shift: Shift,
  centre: { readonly x: number; readonly y: number },
): Rig {
  const move = (region: Region): Region => {
    const [dx, dy] = by(region);
    switch (region.shape) {
      case 'rect':
        return { ...region, x: region.x + dx, y: region.y + dy };
      case 'ellipse':
        return { ...region, cx: region.cx + dx, cy: region.cy + dy };
      case 'polygon':
        return { ...region, points: region.points.map(([x, y]) => [x + dx, y + dy] as const) };
    }
  };
  const point = ([x, y]: Point): Point => fromReference(shift, centre, x, y);
  const { chart } = rig;
  return {
    ...rig,
    regions: rig.regions.map(move),
    white: rig.white.map(move),
    chart:
      chart === null
        ? null
        : {
            ...chart,
            corners: [
              point(chart.corners[0]),
              point(chart.corners[1]),
              point(chart.corners[2]),
              point(chart.corners[3]),
            ],
          },
  };
}

function inside(region: Region, width: number, height: number): boolean {
  const { left, top, right, bottom } = boundingBox(region);
  return left >= 0 && top >= 0 && right <= width && bottom <= height;
}

function sideways([dx, dy]: Point): string {
  const across = `${Math.abs(dx).toFixed(1)} ${dx < 0 ? 'left' : 'right'}`;
  return `${across}, ${Math.abs(dy).toFixed(1)} ${dy < 0 ? 'up' : 'down'}`;
}

function note(severity: MeasurementNote['severity'], code: string, message: string): MeasurementNote {
  return { code, severity, message, fromRunS: null, toRunS: null, region: null };
}
