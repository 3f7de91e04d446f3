/** A planar sample layout that frames/ reads and writes itself. */
export interface PixelFormat {
  /** ffmpeg's name of it. */
  readonly name: string;
  readonly model: 'ycbcr' | 'rgb' | 'grey';
  readonly bitDepth: number;
  /** Luma samples per chroma sample, 1 or 2. */
  readonly chromaX: 1 | 2;
  readonly chromaY: 1 | 2;
  /** The name itself says full range (`yuvj…`). */
  readonly impliesFull: boolean;
}

function ycbcr(name: string, chromaX: 1 | 2, chromaY: 1 | 2, bitDepth: number, impliesFull = false): PixelFormat {
  return { name, model: 'ycbcr', bitDepth, chromaX, chromaY, impliesFull };
}

const deep = [9, 10, 12, 14, 16];
const formats: readonly PixelFormat[] = [
  ycbcr('yuv420p', 2, 2, 8),
  ycbcr('yuv422p', 2, 1, 8),
  ycbcr('yuv444p', 1, 1, 8),
  ycbcr('yuvj420p', 2, 2, 8, true),
  ycbcr('yuvj422p', 2, 1, 8, true),
  ycbcr('yuvj444p', 1, 1, 8, true),
  ...deep.flatMap((bits) => [
    ycbcr(`yuv420p${bits}le`, 2, 2, bits),
    ycbcr(`yuv422p${bits}le`, 2, 1, bits),
    ycbcr(`yuv444p${bits}le`, 1, 1, bits),
  ]),
  { name: 'gbrp', model: 'rgb', bitDepth: 8, chromaX: 1, chromaY: 1, impliesFull: true },
  { name: 'gbrp10le', model: 'rgb', bitDepth: 10, chromaX: 1, chromaY: 1, impliesFull: true },
  { name: 'gbrp12le', model: 'rgb', bitDepth: 12, chromaX: 1, chromaY: 1, impliesFull: true },
  { name: 'gbrp16le', model: 'rgb', bitDepth: 16, chromaX: 1, chromaY: 1, impliesFull: true },
  { name: 'gray', model: 'grey', bitDepth: 8, chromaX: 1, chromaY: 1, impliesFull: false },
  { name: 'gray10le', model: 'grey', bitDepth: 10, chromaX: 1, chromaY: 1, impliesFull: false },
];
const byName = new Map(formats.map((format) => [format.name, format]));

/** The layout of that name, or `null` when it is not one we read without a conversion by ffmpeg. */
export function pixelFormat(name: string): PixelFormat | null {
  return byName.get(name) ?? null;
}

/** Bytes of one sample. */
export function sampleBytes(format: PixelFormat): 1 | 2 {
  return format.bitDepth > 8 ? 2 : 1;
}

/** Size of a chroma plane for a luma plane of that size; ffmpeg rounds up. */
export function chromaSize(format: PixelFormat, width: number, height: number): readonly [number, number] {
  return [Math.ceil(width / format.chromaX), Math.ceil(height / format.chromaY)];
}

/** Bytes of one frame as ffmpeg's rawvideo writes it. */
export function frameBytes(format: PixelFormat, width: number, height: number): number {
  const [chromaWidth, chromaHeight] = chromaSize(format, width, height);
  const samples = format.model === 'grey' ? width * height : width * height + 2 * chromaWidth * chromaHeight;
  return samples * sampleBytes(format);
}
