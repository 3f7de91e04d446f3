import { inputArguments, quietArguments, runFfmpeg } from '../run-ffmpeg.ts';

/** The container's packets of one video stream in order of presentation; no picture is decoded for it. */
export interface PacketIndex {
  /** Seconds of one tick. */
  readonly tickS: number;
  /** Presentation times, ticks, ascending, without repeats. */
  readonly pts: readonly number[];
  /** Positions in `pts` of key frames. */
  readonly keyFrames: readonly number[];
  /** Duration of the last packet, ticks; 0 unknown. */
  readonly lastDuration: number;
  /** Size of each packet, bytes. */
  readonly bytes: readonly number[];
  /** Positions of packets that are byte for byte the one before, by size and checksum. */
  readonly same: readonly number[];
  /** Packets without a usable time. */
  readonly untimed: number;
  /** ffmpeg's complaints, empty for a sound file. */
  readonly complaints: string;
}

/** ffmpeg's `AV_PKT_FLAG_KEY` and `AV_PKT_FLAG_DISCARD` (libavcodec). */
const keyFlag = 1;
const discardFlag = 4;

/**
 * Lists packets with `-f framecrc`: `stream, dts, pts, duration, size, checksum[, F=flags]`, flags only when they are
 * not just "key". Reads the file once at the speed of the disk.
 */
export async function scanPackets(program: string, file: string, streamIndex: number): Promise<PacketIndex> {
  let tickS = 0;
  let untimed = 0;
  const packets: {
    readonly pts: number;
    readonly key: boolean;
    readonly duration: number;
    readonly bytes: number;
    readonly sum: string;
  }[] = [];
  const { stderr } = await runFfmpeg(
    program,
    [
      ...[...quietArguments, '-loglevel', 'error', ...inputArguments(file), '-map', `0:${streamIndex}`],
      ...['-c', 'copy', '-copyts', '-f', 'framecrc', 'pipe:1'],
    ],
    (line) => {
      const tick = /^#tb 0: (\d+)\/(\d+)/.exec(line);
      if (tick !== null) tickS = Number(tick[1]) / Number(tick[2]);
      if (line.startsWith('#') || line === '') return;
      const [, , pts = '', duration = '', size = '', sum = '', ...rest] = line.split(',').map((field) => field.trim());
      const flagField = rest.find((field) => field.startsWith('F=0x'));
      const flags = flagField === undefined ? keyFlag : Number.parseInt(flagField.slice(4), 16);
      if ((flags & discardFlag) !== 0) return;
      const ticks = Number(pts);
      // A missing time is written as the smallest 64-bit number.
      if (!Number.isSafeInteger(ticks)) untimed++;
      else {
        const key = (flags & keyFlag) !== 0;
        packets.push({ pts: ticks, key, duration: Number(duration), bytes: Number(size), sum });
      }
    },
  );
  packets.sort((a, b) => a.pts - b.pts);
  const distinct = packets.filter((packet, position) => position === 0 || packet.pts !== packets[position - 1]!.pts);
  return {
    tickS,
    pts: distinct.map((packet) => packet.pts),
    keyFrames: distinct.flatMap((packet, position) => (packet.key ? [position] : [])),
    bytes: distinct.map((packet) => packet.bytes),
    same: distinct.flatMap(({ bytes, sum }, position) => {
      const before = distinct[position - 1];
      return before?.bytes === bytes && before.sum === sum ? [position] : [];
    }),
    lastDuration: distinct.at(-1)?.duration ?? 0,
    untimed: untimed + packets.length - distinct.length,
    complaints: stderr.trim(),
  };
}
