import { execFile } from 'node:child_process';
import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { feedTo, quietArguments } from '../run-ffmpeg.ts';

/** A film's coded pictures as they come, each behind a start code (H.264 and H.265, annex B; ISO/IEC 13818-2, 6.2.1). */
export type StreamCodec = 'h264' | 'hevc' | 'mpeg1video' | 'mpeg2video';

export interface StreamKind {
  /** ffmpeg's name of the format. */
  readonly format: string;
  /** Whether decoding may begin at a unit, by its first byte: settings, or a picture that needs no other. */
  begins(first: number): boolean;
  /** Whether a unit is one of the settings. */
  sets(first: number): boolean;
  /** Whether it is a part of a picture. */
  slice(first: number): boolean;
}

/** A sequence header begins every group (ISO/IEC 13818-2, 6.1.1.6, allows it; cameras and encoders do it [from memory]). */
const mpeg: StreamKind = {
  format: 'mpegvideo',
  begins: (first) => first === 0xb3,
  sets: () => false,
  slice: (first) => first >= 1 && first <= 0xaf,
};

/** Unit types: H.264, table 7-1; H.265, table 7-1; ISO/IEC 13818-2, table 6-1. */
export const streamKinds: Readonly<Record<StreamCodec, StreamKind>> = {
  h264: {
    format: 'h264',
    begins: (first) => [5, 7].includes(first & 31),
    sets: (first) => [7, 8].includes(first & 31),
    slice: (first) => [1, 5].includes(first & 31),
  },
  hevc: {
    format: 'hevc',
    begins: (first) =>
      hevcType(first) === 32 || hevcType(first) === 33 || (hevcType(first) >= 16 && hevcType(first) <= 21),
    sets: (first) => hevcType(first) >= 32 && hevcType(first) <= 34,
    slice: (first) => hevcType(first) < 32,
  },
  mpeg1video: mpeg,
  mpeg2video: mpeg,
};

const hevcType = (first: number): number => (first >> 1) & 63;

export const isStreamCodec = (codec: string): codec is StreamCodec => Object.hasOwn(streamKinds, codec);

/** Bytes at the end of a bare stream in which the last beginning is looked for, and at its head for the settings. Chosen: groups of a second of 4K have some 20 MB. */
const tailBytes = 32 << 20;
const headBytes = 1 << 20;

/** The end of a bare stream from a place on where decoding may begin, its settings before it; `null`: no such place is near the end. */
export async function tailOfFile(file: string, codec: StreamCodec): Promise<Buffer | null> {
  return fromLastBeginning(await lastBytes(file), await firstBytes(file), codec);
}

/** Containers whose packets stand by themselves, so that their end alone can be read: transport and program streams. */
export type PacketContainer = 'mpegts' | 'mpeg';

/** The same for the first film in a container of packets, whose pictures ffmpeg takes out of the end of it. */
export async function tailOfPackets(
  program: string,
  file: string,
  { container, codec }: { readonly container: PacketContainer; readonly codec: StreamCodec },
): Promise<Buffer | null> {
  const input = [...quietArguments, '-loglevel', 'quiet', '-f', container, '-i', 'pipe:0'];
  const output = ['-map', '0:v:0', '-c', 'copy', '-f', streamKinds[codec].format, 'pipe:1'];
  const bytes = await lastBytes(file);
  const stream = await new Promise<Buffer>((resolve) => {
    const options = { encoding: 'buffer', maxBuffer: 2 * tailBytes } as const;
    const child = execFile(program, [...input, ...output], options, (_, stdout) => resolve(stdout));
    void feedTo(Readable.from([bytes], { objectMode: false }), child);
  });
  return fromLastBeginning(stream, stream, codec);
}

/**
 * From the last but one place on where decoding may begin, behind the first settings of `head`: pictures that are shown
 * before the one at the last place lean on earlier ones.
 */
function fromLastBeginning(bytes: Buffer, head: Buffer, codec: StreamCodec): Buffer | null {
  const kind = streamKinds[codec];
  const begins = beginningsOf(bytes, kind);
  const last = begins.at(-2) ?? begins.at(-1);
  if (last === undefined) return null;
  const units = unitsOf(head);
  const firstSet = units.findIndex(({ first }) => kind.sets(first));
  const picture = units.findIndex(({ first }, index) => index > firstSet && kind.slice(first));
  const sets =
    firstSet < 0 ? [] : units.slice(firstSet, Math.max(firstSet, picture)).filter(({ first }) => kind.sets(first));
  return Buffer.concat([...sets.map(({ at, end }) => head.subarray(at, end)), bytes.subarray(last)]);
}

/** Where settings stand before a picture, or a picture that needs no other; its parts are one place. */
function beginningsOf(bytes: Buffer, kind: StreamKind): readonly number[] {
  const found: number[] = [];
  let inPlace = false;
  for (const { at, first } of unitsOf(bytes)) {
    if (kind.begins(first)) {
      if (!inPlace) found.push(at);
      inPlace = true;
    } else if (kind.slice(first)) inPlace = false;
  }
  return found;
}

async function lastBytes(file: string): Promise<Buffer> {
  const handle = await open(file);
  try {
    const { size } = await handle.stat();
    const from = Math.max(0, size - tailBytes);
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(size - from), 0, size - from, from);
    return buffer.subarray(0, bytesRead);
  } finally {
    await handle.close();
  }
}

async function firstBytes(file: string): Promise<Buffer> {
  const handle = await open(file);
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(headBytes), 0, headBytes, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await handle.close();
  }
}

const startCode = Buffer.from([0, 0, 1]);

/** Units by their start codes; `first`: the byte that tells the type. */
function unitsOf(bytes: Buffer): readonly { readonly at: number; readonly end: number; readonly first: number }[] {
  const starts: number[] = [];
  for (
    let at = bytes.indexOf(startCode);
    at >= 0 && at + startCode.length < bytes.length;
    at = bytes.indexOf(startCode, at + 3)
  )
    starts.push(at);
  return starts.map((at, index) => ({
    at,
    end: starts[index + 1] ?? bytes.length,
    first: bytes[at + startCode.length]!,
  }));
}
