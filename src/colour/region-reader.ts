import type { CropRequest, RegionPixels } from '../model/frame.ts';
import { boundingBox } from '../model/region-box.ts';
import type { Region } from '../model/region.ts';
import type { Shift } from '../model/shift.ts';
import { createMaskLearner } from './liquid-mask.ts';
import type { LiquidMask } from './liquid-mask.ts';
import { findMeniscus } from './meniscus.ts';
import { readBand } from './band-reader.ts';
import { takeMidmean } from './midmean.ts';
import { createCellNoise } from './cell-noise.ts';
import { walkCells } from './cell-walk.ts';
import { halvesDistance, lightnessTexture } from './cell-structure.ts';
import { linearRgbToOklab, oklabDistance } from './oklab.ts';
import { arrangeSamples } from './sample-cells.ts';
import type { SampleCells } from './sample-cells.ts';
import { fromReference, noShift } from './shifted-point.ts';
import { tabulateTransfer } from './transfer.ts';
import type { TransferName } from './transfer.ts';

type Three = readonly [number, number, number];

/** One region's colour in one frame; see RegionColours for the meaning of each value. */
export interface RegionReading {
  readonly rgb: Three;
  readonly se: Three;
  readonly clipped: Three;
  readonly leftOut: number;
  readonly samples: number;
  readonly halvesDeltaE: number;
  readonly texture: number;
  /** On the reference frame's rows, so that a nudged camera does not look like evaporation. */
  readonly meniscusY: number | null;
}

export interface RegionReader {
  readonly id: string;
  /** A look before measuring (a dozen over the run, after dosing): decides what is glare, edge or meniscus. */
  learn(pixels: RegionPixels, shift?: Shift): void;
  /**
   * Colour in one frame, frames in order of time. Without looks before, the first frame read decides the mask.
   * `null` when fewer than {@link fewestSamples} samples of the region lie in the crop.
   */
  read(pixels: RegionPixels, shift?: Shift): RegionReading | null;
  /** A reader of another stretch of the same run: it shares what was learnt and nothing else. */
  fresh(): RegionReader;
}

export interface RegionReaderOptions {
  /** Upright frame size: shifts turn and scale about its centre. */
  readonly frame: { readonly width: number; readonly height: number };
  readonly transfer: TransferName;
}

/** Chosen: quartiles of fewer samples are not robust. */
export const fewestSamples = 24;
/** Samples are found anew when the region moved by this much, in samples. Chosen: a quarter; below it the nearest samples stay mostly the same. */
const restlessness = 0.25;

/** A reader of one region; memory does not grow with frames. */
export function createRegionReader(region: Region, crop: CropRequest, options: RegionReaderOptions): RegionReader {
  const centre = { x: options.frame.width / 2, y: options.frame.height / 2 };
  const decode = tabulateTransfer(options.transfer);
  return readerOf(region, crop, { centre, decode, learner: createMaskLearner(region, crop, centre), mask: null });
}

/** What readers of one region share. */
interface Learnt {
  readonly centre: { readonly x: number; readonly y: number };
  readonly decode: ReturnType<typeof tabulateTransfer>;
  readonly learner: ReturnType<typeof createMaskLearner>;
  mask: LiquidMask | null;
}

function readerOf(region: Region, crop: CropRequest, learnt: Learnt): RegionReader {
  const { centre, decode, learner } = learnt;
  const box = boundingBox(region);
  const noise = createCellNoise();
  let cells: SampleCells | null = null;
  let arrangedFor: Grid | null = null;
  let arrangedAt: readonly number[] = [];

  const arrange = (pixels: RegionPixels, shift: Shift): SampleCells => {
    if (learner.looks === 0) learner.look(pixels, shift);
    const mask = (learnt.mask ??= learner.decide());
    const [left, top] = fromReference(shift, centre, box.left, box.top);
    const [right, bottom] = fromReference(shift, centre, box.right, box.bottom);
    const reach = restlessness * pixels.pixelsPerSample;
    const moved = (now: number, at: number): boolean => Math.abs(now - arrangedAt[at]!) > reach;
    if (
      cells === null ||
      !sameGrid(pixels, arrangedFor) ||
      moved(left, 0) ||
      moved(top, 1) ||
      moved(right, 2) ||
      moved(bottom, 3)
    ) {
      cells = arrangeSamples(mask, box, crop, pixels, shift, centre);
      const { x, y, width, height, pixelsPerSample } = pixels;
      arrangedFor = { x, y, width, height, pixelsPerSample };
      arrangedAt = [left, top, right, bottom];
    }
    return cells;
  };

  return {
    id: region.id,
    learn(pixels, shift = noShift) {
      learner.look(pixels, shift);
    },
    read(pixels, shift = noShift) {
      const found = arrange(pixels, shift);
      if (found.samples.length < fewestSamples) return null;
      const { histograms, sums, lowest, highest } = walkCells(pixels, found, noise.means);
      const values = histograms.map((histogram, channel) =>
        takeMidmean(histogram, found.total, decode, lowest[channel], highest[channel]),
      );
      const scatter = noise.standardErrors(
        found,
        values.map((value) => value.quartileRange),
      );
      const slopes = values.map(({ encoded }) => (decode(encoded + 0.002) - decode(encoded - 0.002)) / 0.004);
      const [middleX, middleY] = fromReference(shift, centre, (box.left + box.right) / 2, (box.top + box.bottom) / 2);
      const offsetX = middleX - (box.left + box.right) / 2;
      const meniscus = findMeniscus(pixels, box.left + offsetX, box.right + offsetX, middleY);
      const rgb = three((channel) => values[channel]!.linear);
      const { band } = learnt.mask!;
      const layer = band === null ? null : readBand(band, box, crop, pixels, shift, centre, decode);
      const fromLayer = layer === null ? 0 : oklabDistance(linearRgbToOklab(layer), linearRgbToOklab(rgb));
      return {
        rgb,
        se: three((channel) => slopes[channel]! * scatter[channel]!),
        clipped: three((channel) => values[channel]!.clipped),
        leftOut: learnt.mask!.leftOut,
        samples: found.samples.length,
        halvesDeltaE: Math.max(fromLayer, halvesDistance(noise.means, found, decode)),
        texture: lightnessTexture(sums, found, rgb, slopes),
        meniscusY: meniscus === null ? null : meniscus - (middleY - (box.top + box.bottom) / 2),
      };
    },
    fresh: () => readerOf(region, crop, learnt),
  };
}

type Grid = Pick<RegionPixels, 'x' | 'y' | 'width' | 'height' | 'pixelsPerSample'>;

const sameGrid = (one: Grid, other: Grid | null): boolean =>
  one.x === other?.x &&
  one.y === other.y &&
  one.width === other.width &&
  one.height === other.height &&
  one.pixelsPerSample === other.pixelsPerSample;

const three = (of: (channel: number) => number): Three => [of(0), of(1), of(2)];
