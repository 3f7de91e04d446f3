/** One kind of source that is timed. */
export interface Format {
  /** Short, for `--only` and folders. */
  readonly name: string;
  readonly shown: string;
  readonly width: number;
  readonly height: number;
  readonly codec: 'h264' | 'hevc' | 'jpeg';
  /** Bits a second of playback at 30 frames a second; 0 for pictures. */
  readonly bitrate: number;
  /** Frames where nothing else is asked for: fewer of the large ones, as what is compared is a ratio. */
  readonly frames: number;
  /** The same where other than 24 regions are timed: rows for what regions cost, beside the one that the aims are for. */
  readonly framesOfOthers: number;
  /** Numbers of regions that are timed. */
  readonly regions: readonly number[];
  /** The aim (issue 6) for pixels to colours over the bare decode. */
  readonly goal: number;
  /** The aim for the script a chemist would write over this tool; `null`: none. */
  readonly scriptGoal: number | null;
}

const fullHd = { width: 1920, height: 1080 } as const;
const ultraHd = { width: 3840, height: 2160 } as const;

export const formats: readonly Format[] = [
  {
    ...{ name: '1080p-20', shown: '1080p H.264 20 Mbit/s', ...fullHd, codec: 'h264', bitrate: 20e6 },
    ...{ frames: 1440, framesOfOthers: 480, regions: [6, 24, 96], goal: 0.85, scriptGoal: 2 },
  },
  {
    ...{ name: '1080p-8', shown: '1080p H.264 8 Mbit/s', ...fullHd, codec: 'h264', bitrate: 8e6 },
    ...{ frames: 1440, framesOfOthers: 480, regions: [24], goal: 1, scriptGoal: null },
  },
  {
    ...{ name: '1080p-2', shown: '1080p H.264 2 Mbit/s', ...fullHd, codec: 'h264', bitrate: 2e6 },
    ...{ frames: 1440, framesOfOthers: 480, regions: [24], goal: 1.1, scriptGoal: 2.4 },
  },
  {
    ...{ name: 'hevc-10bit', shown: '1080p HEVC 10 bit 8 Mbit/s', ...fullHd, codec: 'hevc', bitrate: 8e6 },
    ...{ frames: 480, framesOfOthers: 120, regions: [24], goal: 1.15, scriptGoal: null },
  },
  {
    ...{ name: '4k-24', shown: '4K H.264 24 Mbit/s', ...ultraHd, codec: 'h264', bitrate: 24e6 },
    ...{ frames: 480, framesOfOthers: 120, regions: [24, 96], goal: 1.05, scriptGoal: null },
  },
  {
    ...{ name: 'jpeg-12', shown: '12-Mpx JPEG', width: 4000, height: 3000, codec: 'jpeg', bitrate: 0 },
    ...{ frames: 96, framesOfOthers: 16, regions: [24], goal: 0.45, scriptGoal: 4 },
  },
];
