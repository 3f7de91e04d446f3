/** Pixels of a region to its robust linear colour; colour spaces and differences. Pure. */
export { collectColumns, createReadingColumns, type ReadingColumns } from './collect-columns.ts';
export { ciede2000, linearRgbToLab, xyzRatioToLab, type Lab } from './difference.ts';
export { linearRgbToHex } from './hex.ts';
export { unwrapHue } from './hue.ts';
export { cropOfImage } from './image-crop.ts';
export { plainColour } from './plain-colour.ts';
export {
  chromaFloor,
  linearRgbToOklab,
  oklabDistance,
  oklabToOklch,
  type LinearRgb,
  type Oklab,
  type Oklch,
} from './oklab.ts';
export { oklabFromLinearWithSe, type OklchEstimate } from './oklab-error.ts';
export { contains, regionCrop } from './region-geometry.ts';
export {
  createRegionReader,
  fewestSamples,
  type RegionReader,
  type RegionReaderOptions,
  type RegionReading,
} from './region-reader.ts';
export { fromReference, noShift, toReference } from './shifted-point.ts';
export { decodeTransfer, encodeSrgb, tabulateTransfer, type TransferName } from './transfer.ts';
