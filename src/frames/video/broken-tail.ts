import { Readable } from 'node:stream';
import { quietArguments, runFfmpeg } from '../run-ffmpeg.ts';
import { passthroughArguments } from './passthrough-arguments.ts';
import { type StreamCodec, streamKinds } from './stream-tail.ts';

/** What a decoder says while a picture lacks a part. */
const guessing = /error while decoding|concealing|invalid (nal|data)|ac-tex damaged|error at mb/i;

/** A program, and such as `ffmpeg 4.4.2`. */
interface Decoding {
  readonly program: string;
  readonly version: string;
}

/** Bytes behind the last picture. No two zeros among them, so that they begin nothing. Chosen: more than a slice row has. */
const filler = Buffer.from(Array.from({ length: 4096 }, (_, index) => 1 + ((index * 167 + (index >> 3)) % 255)));

/** How a stream ends. */
export interface StreamEnd {
  /** Its last picture lacks a part. */
  readonly broken: boolean;
  /** Pictures at the end that show something else for it and of which the decoder does not tell. */
  readonly untold: number;
}

/**
 * Whether a stream ends in the midst of a picture; `null`: nothing could be decoded. The decoder says so, but that of HEVC
 * does not always: it is given other bytes behind the end, which no whole picture reads (H.265, 9.3.2.5: it ends by a
 * flag of its own), and what then looks otherwise had run out of bytes.
 */
export async function endOfStream(decoding: Decoding, stream: Buffer, codec: StreamCodec): Promise<StreamEnd | null> {
  const plain = await decoded(decoding, stream, codec);
  if (plain.sums.length === 0) return null;
  const told = guessing.test(plain.complaints);
  if (codec !== 'hevc') return { broken: told, untold: 0 };
  const filled = await decoded(decoding, Buffer.concat([stream, filler]), codec);
  const first = plain.sums.findIndex((sum, index) => sum !== filled.sums[index]);
  return { broken: told || first >= 0, untold: first < 0 ? 0 : plain.sums.length - first };
}

async function decoded(
  { program, version }: Decoding,
  stream: Buffer,
  codec: StreamCodec,
): Promise<{ readonly sums: readonly string[]; readonly complaints: string }> {
  const sums: string[] = [];
  const input = ['-f', streamKinds[codec].format, '-i', 'pipe:0'];
  // Times mean nothing: pictures far apart and handed over as they come.
  const even = ['-vf', 'setpts=10*N/TB', ...passthroughArguments(version)];
  const { stderr } = await runFfmpeg(
    program,
    [...quietArguments, '-loglevel', 'error', ...input, '-map', '0:v:0', ...even, '-f', 'framecrc', 'pipe:1'],
    (line) => {
      if (line.startsWith('0,')) sums.push(line.split(',').at(-1)!.trim());
    },
    undefined,
    Readable.from([stream], { objectMode: false }),
  );
  return { sums, complaints: stderr };
}
