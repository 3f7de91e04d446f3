import type { RgbImage } from '../../model/frame.ts';
import { findDosingTime } from '../../find/index.ts';
import type { Column } from '../../model/measurement.ts';
import type { Region } from '../../model/region.ts';
import { linearRgbToHex } from '../../colour/hex.ts';
import { cropOfImage } from '../../colour/image-crop.ts';
import { linearRgbToOklab, oklabDistance, oklabToOklch, type LinearRgb } from '../../colour/oklab.ts';
import { boundingBox, regionCrop } from '../../colour/region-geometry.ts';
import { createRegionReader, fewestSamples } from '../../colour/region-reader.ts';
import { decodeTransfer } from '../../colour/transfer.ts';
import type { Reading, Strip } from '../messages.ts';
import { cropOfShrunk, type ShrunkImage } from './shrink.ts';

/** Frame pixels around a region that its reader sees; chosen: enough to tell the wall of the glass. */
const margin = 8;
/** Frames of a strip from which glare is told; measured: each costs 15 ms for a region of 60 x 90 pixels. */
const looks = 4;
/** Share of the width taken as an edge strip on either side; chosen: glass shows up in it, curvature hardly. */
const edgeShare = 0.12;
const decodeSrgb = decodeTransfer('srgb');

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
function plainColour(image: RgbImage, region: Region): LinearRgb | null {
  const { left, top, right, bottom } = boundingBox(region);
  const [x0, x1] = [Math.max(0, Math.round(left)), Math.min(image.width, Math.round(right))];
  const [y0, y1] = [Math.max(0, Math.round(top)), Math.min(image.height, Math.round(bottom))];
  if ((x1 - x0) * (y1 - y0) < 4) return null;
  const median = (channel: number): number => {
    const values: number[] = [];
    for (let y = y0; y < y1; y += 1) {
      for (let x = x0; x < x1; x += 1) values.push(image.data[3 * (y * image.width + x) + channel]!);
    }
    values.sort((first, second) => first - second);
    return decodeSrgb(values[Math.floor(values.length / 2)]! / 255);
  };
  return [median(0), median(1), median(2)];
}

/** OKLab distance of the left and right edge strip from the middle of the region. */
function edgesOf(image: RgbImage, region: Region): Reading['edgesDeltaE'] {
  const middle = plainColour(image, sliceOf(region, 0.3, 0.7));
  const side = (from: number, to: number): number | null => {
    const colour = plainColour(image, sliceOf(region, from, to));
    return middle === null || colour === null
      ? null
      : oklabDistance(linearRgbToOklab(middle), linearRgbToOklab(colour));
  };
  return { left: side(0, edgeShare), right: side(1 - edgeShare, 1) };
}

/** What the analysis would see of one region in one frame, by its own reader. Glare is told from that frame alone. */
export function readRegion(image: RgbImage, region: Region): Reading {
  const crop = regionCrop(region, 'vial', image, margin);
  const unreadable: Reading = {
    id: region.id,
    colour: null,
    hueDeg: null,
    chroma: null,
    lightness: null,
    samples: 0,
    leftOut: null,
    clipped: null,
    halvesDeltaE: null,
    edgesDeltaE: { left: null, right: null },
  };
  if (crop.width * crop.height < fewestSamples) return unreadable;
  const reader = createRegionReader(region, crop, { frame: image, transfer: 'srgb' });
  const pixels = cropOfImage(image, crop);
  reader.learn(pixels);
  const reading = reader.read(pixels);
  if (reading === null) return unreadable;
  const { lightness, chroma, hueDeg } = oklabToOklch(linearRgbToOklab(reading.rgb));
  return {
    id: region.id,
    colour: linearRgbToHex(reading.rgb),
    hueDeg,
    chroma,
    lightness,
    samples: reading.samples,
    leftOut: reading.leftOut,
    // A channel that the colour leaves dark is at its lower limit by nature: blue in dichromate orange.
    clipped: Math.max(...reading.clipped.map((share, channel) => (reading.rgb[channel]! > 0.5 ? share : 0))),
    halvesDeltaE: reading.halvesDeltaE,
    edgesDeltaE: edgesOf(image, region),
  };
}

/** The colour of one region over the spread frames. */
export function stripOfRegion(
  images: readonly ShrunkImage[],
  region: Region,
  frame: { readonly width: number; readonly height: number },
): Strip {
  const crop = regionCrop(region, 'vial', frame, margin);
  if (crop.width * crop.height < fewestSamples) {
    return { id: region.id, colours: images.map(() => null), dosing: 'not-seen' };
  }
  const reader = createRegionReader(region, crop, { frame, transfer: 'srgb' });
  for (let look = 0; look < Math.min(looks, images.length); look += 1) {
    reader.learn(cropOfShrunk(images[Math.floor(((look + 0.5) * images.length) / looks) % images.length]!, crop));
  }
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
}
