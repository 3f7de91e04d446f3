import type { RgbImage } from '../../model/frame.ts';
import { boundingBox } from '../../model/region-box.ts';
import { findDosingTime } from '../../find/index.ts';
import type { Column } from '../../model/measurement.ts';
import type { Region } from '../../model/region.ts';
import { linearRgbToHex } from '../../colour/hex.ts';
import { cropOfImage } from '../../colour/image-crop.ts';
import { linearRgbToOklab, oklabDistance, oklabToOklch, type LinearRgb } from '../../colour/oklab.ts';
import { plainColour } from '../../colour/plain-colour.ts';
import { regionCrop } from '../../colour/region-geometry.ts';
import { createRegionReader, fewestSamples, type RegionReader } from '../../colour/region-reader.ts';
import type { TransferName } from '../../colour/transfer.ts';
import type { Reading, Strip } from '../messages.ts';
import type { KeptLook } from './kept-look.ts';
import { cropOfShrunk, samplesOfImage, type ShrunkImage } from './shrink.ts';

/** Frame pixels around a region that its reader sees; chosen: enough to tell the wall of the glass. */
const margin = 8;
/** Share of the width taken as an edge strip on either side; chosen: glass shows up in it, curvature hardly. */
const edgeShare = 0.12;

/** The upright box part of a region from `from` to `to` of its width. */
function sliceOf(region: Region, from: number, to: number): Region {
  const { left, top, right, bottom } = boundingBox(region);
  const middle = (top + bottom) / 2;
  // The middle half of the height, where an ellipse is still about its full width.
  const height = (bottom - top) / 2;
  const x = left + (right - left) * from;
  return { id: region.id, shape: 'rect', x, y: middle - height / 2, width: (right - left) * (to - from), height };
}

/** Median colour of a slice, linear; `null` with too few pixels. */
function sliceColour(image: RgbImage, region: Region): LinearRgb | null {
  const { left, top, right, bottom } = boundingBox(region);
  const [x, y] = [Math.max(0, Math.round(left)), Math.max(0, Math.round(top))];
  const width = Math.max(0, Math.min(image.width, Math.round(right)) - x);
  const height = Math.max(0, Math.min(image.height, Math.round(bottom)) - y);
  if (width * height < 4) return null;
  return plainColour(cropOfImage(image, { id: region.id, kind: 'vial', x, y, width, height }), 'srgb');
}

/** OKLab distance of the left and right edge strip from the middle of the region. */
function edgesOf(image: RgbImage, region: Region): Reading['edgesDeltaE'] {
  const middle = sliceColour(image, sliceOf(region, 0.3, 0.7));
  const side = (from: number, to: number): number | null => {
    const colour = sliceColour(image, sliceOf(region, from, to));
    return middle === null || colour === null
      ? null
      : oklabDistance(linearRgbToOklab(middle), linearRgbToOklab(colour));
  };
  return { left: side(0, edgeShare), right: side(1 - edgeShare, 1) };
}

/** How the analysis would look: glare told from its looks over the run, one sample where the film has one colour. */
export interface Seeing {
  readonly frame: { readonly width: number; readonly height: number };
  readonly sampleSide: 1 | 2;
  readonly transfer: TransferName;
  /** What the analysis looks at before it measures; `null`: not there yet. */
  readonly looks: readonly KeptLook[] | null;
}

/** Regions whose glare is kept; chosen: those of a rig and some that a drag left behind. */
const keptReaders = 700;

/** Reads regions by the analysis's own reader. What was learnt of a region is kept until it moves. */
export function createRegionReadings(): {
  readonly read: (image: RgbImage, region: Region, seeing: Seeing) => Reading;
  readonly strip: (images: readonly ShrunkImage[], region: Region, seeing: Seeing) => Strip;
} {
  const learnt = new Map<string, RegionReader>();
  const readerOf = (region: Region, { frame, transfer, looks }: Seeing): RegionReader => {
    const key = JSON.stringify([region, transfer]);
    const known = looks === null ? undefined : learnt.get(key);
    if (known !== undefined) return known.fresh();
    const crop = regionCrop(region, 'vial', frame, margin);
    const reader = createRegionReader(region, crop, { frame, transfer });
    for (const look of looks ?? []) reader.learn(look.cut(crop));
    if (looks !== null) {
      learnt.set(key, reader);
      for (const old of learnt.keys()) if (learnt.size > keptReaders) learnt.delete(old);
    }
    return reader.fresh();
  };
  return {
    read: (image, region, seeing) => {
      const crop = regionCrop(region, 'vial', image, margin);
      if (crop.width * crop.height < fewestSamples) return unreadable(region.id);
      const reader = readerOf(region, seeing);
      if (seeing.looks === null) reader.learn(samplesOfImage(image, crop, seeing.sampleSide));
      const reading = reader.read(samplesOfImage(image, crop, seeing.sampleSide));
      if (reading === null) return unreadable(region.id);
      const { lightness, chroma, hueDeg } = oklabToOklch(linearRgbToOklab(reading.rgb));
      return {
        ...{ id: region.id, colour: linearRgbToHex(reading.rgb), hueDeg, chroma, lightness },
        ...{ samples: reading.samples, leftOut: reading.leftOut, provisional: seeing.looks === null },
        // A channel that the colour leaves dark is at its lower limit by nature: blue in dichromate orange.
        clipped: Math.max(...reading.clipped.map((share, channel) => (reading.rgb[channel]! > 0.5 ? share : 0))),
        halvesDeltaE: reading.halvesDeltaE,
        edgesDeltaE: edgesOf(image, region),
      };
    },
    strip: (images, region, seeing) => {
      const crop = regionCrop(region, 'vial', seeing.frame, margin);
      if (crop.width * crop.height < fewestSamples) {
        return { id: region.id, colours: images.map(() => null), dosing: 'not-seen' };
      }
      const reader = readerOf(region, seeing);
      const colours = images.map((image) => reader.read(cropOfShrunk(image, crop))?.rgb ?? null);
      const column = (channel: 0 | 1 | 2): Column => colours.map((rgb) => rgb?.[channel] ?? null);
      return {
        id: region.id,
        colours: colours.map((rgb) => (rgb === null ? null : linearRgbToHex(rgb))),
        dosing: findDosingTime(
          images.map((_, index) => index),
          { red: column(0), green: column(1), blue: column(2) },
        ).status,
      };
    },
  };
}

const unreadable = (id: string): Reading => ({
  ...{ id, colour: null, hueDeg: null, chroma: null, lightness: null, samples: 0, leftOut: null, clipped: null },
  ...{ provisional: false, halvesDeltaE: null, edgesDeltaE: { left: null, right: null } },
});
