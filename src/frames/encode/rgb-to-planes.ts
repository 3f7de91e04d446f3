import type { RgbImage } from '../../model/frame.ts';
import { chromaSize, frameBytes, type PixelFormat, sampleBytes } from '../pixel-format.ts';
import { codeRange, lumaWeights, type MatrixName, type RangeName } from '../ycbcr.ts';

/**
 * Writes 8-bit R'G'B' as raw planes in ffmpeg's order (Y Cb Cr, or G B R). Our own matrix, rounded to the nearest
 * code, chroma the mean of its block: what goes into a test film is known exactly, whatever the ffmpeg at hand does.
 */
export function planesWriter(
  format: PixelFormat,
  matrix: MatrixName,
  range: RangeName,
  width: number,
  height: number,
): (image: RgbImage) => Buffer {
  const bytes = Buffer.alloc(frameBytes(format, width, height));
  const samples =
    sampleBytes(format) === 1
      ? new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.byteLength)
      : new Uint16Array(bytes.buffer, bytes.byteOffset, bytes.byteLength / 2);
  return ({ data }) => {
    if (format.model === 'rgb') writeRgb(data, samples, 2 ** format.bitDepth - 1);
    else writeYcbcr(data, samples, format, matrix === 'rgb' ? 'bt709' : matrix, range, width, height);
    // A copy, since the pipe may still hold the last one.
    return Buffer.from(bytes);
  };
}

function writeRgb(data: Uint8Array, samples: Uint8Array | Uint16Array, maximum: number): void {
  const count = data.length / 3;
  const scale = maximum / 255;
  for (let i = 0; i < count; i++) {
    samples[i] = Math.round(data[3 * i + 1]! * scale);
    samples[count + i] = Math.round(data[3 * i + 2]! * scale);
    samples[2 * count + i] = Math.round(data[3 * i]! * scale);
  }
}

function writeYcbcr(
  data: Uint8Array,
  samples: Uint8Array | Uint16Array,
  format: PixelFormat,
  matrix: Exclude<MatrixName, 'rgb'>,
  range: RangeName,
  width: number,
  height: number,
): void {
  const { red: kr, blue: kb } = lumaWeights[matrix];
  const kg = 1 - kr - kb;
  const { lumaZero, lumaSpan, chromaZero, chromaSpan, maximum } = codeRange(range, format.bitDepth);
  const lumaScale = lumaSpan / 255;
  for (let i = 0, p = 0; i < width * height; i++, p += 3) {
    samples[i] = lumaZero + lumaScale * (kr * data[p]! + kg * data[p + 1]! + kb * data[p + 2]!) + 0.5;
  }
  if (format.model === 'grey') return;
  const [chromaWidth, chromaHeight] = chromaSize(format, width, height);
  const blueScale = chromaSpan / (255 * 2 * (1 - kb));
  const redScale = chromaSpan / (255 * 2 * (1 - kr));
  let blueAt = width * height;
  let redAt = blueAt + chromaWidth * chromaHeight;
  for (let row = 0; row < chromaHeight; row++) {
    for (let column = 0; column < chromaWidth; column++) {
      let red = 0;
      let green = 0;
      let blue = 0;
      let count = 0;
      for (let y = row * format.chromaY; y < Math.min(height, (row + 1) * format.chromaY); y++) {
        for (let x = column * format.chromaX; x < Math.min(width, (column + 1) * format.chromaX); x++) {
          const p = 3 * (y * width + x);
          red += data[p]!;
          green += data[p + 1]!;
          blue += data[p + 2]!;
          count++;
        }
      }
      const luma = kr * red + kg * green + kb * blue;
      // Full-range chroma of a pure primary rounds to one code beyond the last: cut there, as every encoder must.
      samples[blueAt++] = Math.min(maximum, chromaZero + (blueScale * (blue - luma)) / count + 0.5);
      samples[redAt++] = Math.min(maximum, chromaZero + (redScale * (red - luma)) / count + 0.5);
    }
  }
}
