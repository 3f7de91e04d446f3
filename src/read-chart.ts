import { createRegionReader, cropOfImage, noShift, regionCrop } from './colour/index.ts';
import type { RegionReading, TransferName } from './colour/index.ts';
import type { OpenSource } from './frames/index.ts';
import { chartCells } from './light/index.ts';
import type { ChartReading } from './light/index.ts';
import type { CropRequest } from './model/frame.ts';
import type { Chart } from './model/region.ts';
import { medianOfAll } from './numeric/median.ts';
import { createTracker, cropMarginPixels } from './motion/index.ts';

/** Frames at the run's beginning that the chart is read in, every second one. Chosen: enough for a median that a hand does not move. */
const looks = 5;
const stride = 2;

export interface ChartRequest {
  readonly source: OpenSource;
  readonly chart: Chart;
  readonly transfer: TransferName;
  /** Still places to follow the camera by. */
  readonly anchors: readonly CropRequest[];
}

/** The colours of a chart's cells in the first frames, row by row. */
export async function readChart({ source, chart, transfer, anchors }: ChartRequest): Promise<readonly ChartReading[]> {
  const frame = { width: source.info.width, height: source.info.height };
  const cells = chartCells(chart).map((region) => {
    const crop = regionCrop(region, 'chart', frame, cropMarginPixels(frame.width));
    return { id: region.id, crop, reader: createRegionReader(region, crop, { frame, transfer }) };
  });
  const { frameCount, durationS } = source.info;
  const gapS = (durationS ?? 0) / Math.max(1, (frameCount ?? 1) - 1);
  const readings: (RegionReading | null)[][] = cells.map(() => []);
  const seen = new Set<number>();
  let tracker: ReturnType<typeof createTracker> | null = null;
  for (let look = 0; look < looks; look += 1) {
    const { image, timeRunS } = await source.still(look * stride * gapS);
    if (seen.has(timeRunS)) continue;
    seen.add(timeRunS);
    const still = anchors.map((anchor) => cropOfImage(image, anchor));
    tracker ??= createTracker(still, frame);
    const shift = tracker.anchors === 0 ? noShift : tracker.track(still);
    cells.forEach(({ crop, reader }, index) => readings[index]!.push(reader.read(cropOfImage(image, crop), shift)));
  }
  return cells.map(({ id }, index) => {
    const known = readings[index]!.filter((reading) => reading !== null);
    const middle = (of: (reading: RegionReading) => number): number => medianOfAll(known.map(of));
    return {
      name: id,
      rgb:
        known.length === 0
          ? null
          : [middle(({ rgb }) => rgb[0]), middle(({ rgb }) => rgb[1]), middle(({ rgb }) => rgb[2])],
      clipped: known.length === 0 ? 0 : middle(({ clipped }) => Math.max(...clipped)),
    };
  });
}
