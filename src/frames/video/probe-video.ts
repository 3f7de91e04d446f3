import { MachineError } from '../../errors.ts';
import { containerColours } from './container-colours.ts';
import { inputArguments, quietArguments, runFfmpeg } from '../run-ffmpeg.ts';

/** What `ffmpeg -i` says about the first real video stream of a file. */
export interface VideoFacts {
  readonly streamIndex: number;
  readonly container: string;
  readonly codec: string;
  readonly pixelFormat: string;
  /** As stored, before rotation. */
  readonly storedWidth: number;
  readonly storedHeight: number;
  /** `null` untagged. */
  readonly rangeTag: 'limited' | 'full' | null;
  /** ffmpeg's names, such as `bt709`, `smpte170m`; `null` untagged. */
  readonly matrixTag: string | null;
  readonly primariesTag: string | null;
  readonly transferTag: string | null;
  /** Clockwise turn that makes the picture upright, degrees. */
  readonly rotation: 0 | 90 | 180 | 270;
  /** What the container promises, seconds; `null` unknown. */
  readonly durationS: number | null;
  readonly startS: number;
  readonly framesPerSecond: number | null;
}

export type ProbeAnswer =
  | { readonly kind: 'video'; readonly facts: VideoFacts }
  | { readonly kind: 'no-video'; readonly audio: boolean }
  | { readonly kind: 'unreadable'; readonly reason: string };

/** Asks ffmpeg what a file is. Needs no ffprobe: the text of `ffmpeg -i` has all of it. */
export async function probeVideo(program: string, file: string): Promise<ProbeAnswer> {
  const { stderr } = await runFfmpeg(program, [...quietArguments, ...inputArguments(file)]);
  // The file's own name is printed too and may hold anything, even lines that look like a stream.
  const answer = parseProbe(stderr.replaceAll(file, ''));
  if (answer.kind !== 'video' || !/\bmov\b/.test(answer.facts.container)) return answer;
  return { kind: 'video', facts: await withContainerColours(answer.facts, file) };
}

async function withContainerColours(facts: VideoFacts, file: string): Promise<VideoFacts> {
  const { rangeTag, matrixTag, primariesTag, transferTag } = facts;
  if (rangeTag !== null && matrixTag !== null && primariesTag !== null && transferTag !== null) return facts;
  const told = await containerColours(file);
  if (told === null) return facts;
  return {
    ...facts,
    rangeTag: rangeTag ?? told.rangeTag,
    matrixTag: matrixTag ?? told.matrixTag,
    primariesTag: primariesTag ?? told.primariesTag,
    transferTag: transferTag ?? told.transferTag,
  };
}

/** Reads the text of `ffmpeg -i`; exported for tests. */
export function parseProbe(text: string): ProbeAnswer {
  const input = /^Input #0, ([^\n]*?), from /m.exec(text);
  if (input === null) {
    const missing = /moov atom not found/.exec(text)?.[0];
    return {
      kind: 'unreadable',
      reason:
        missing ??
        text
          .trim()
          .split('\n')
          .at(-1)!
          .replace(/^file:\s*:?\s*/, ''),
    };
  }
  const streams = [...text.matchAll(/^ {2,4}Stream #0:(\d+)[^\n]*?: (Video|Audio): ([^\n]*)/gm)];
  const video = streams.find(([, , kind, rest]) => kind === 'Video' && !rest!.includes('attached pic'));
  if (video === undefined) return { kind: 'no-video', audio: streams.some(([, , kind]) => kind === 'Audio') };
  const rest = video[3]!;
  const size = /, (\d+)x(\d+)/.exec(rest);
  const format = /, ([a-z][a-z0-9]+)(?:\(([^)]*)\))?, \d+x\d+/.exec(rest);
  if (size === null || format === null) return { kind: 'unreadable', reason: noPicture(text) };
  const after = text.slice(video.index + video[0].length).split(/^ {2,4}Stream #/m)[0]!;
  const turn = /displaymatrix: rotation of (-?[\d.]+) degrees/.exec(after);
  const duration = /Duration: (\d+):(\d+):([\d.]+)/.exec(text);
  const start = /Duration: [^\n]*start: (-?[\d.]+)/.exec(text);
  const rate = /, ([\d.]+)(k?) fps/.exec(rest);
  return {
    kind: 'video',
    facts: {
      streamIndex: Number(video[1]),
      container: input[1]!,
      codec: /^[\w-]+/.exec(rest)?.[0] ?? 'unknown',
      pixelFormat: format[1]!,
      storedWidth: Number(size[1]),
      storedHeight: Number(size[2]),
      ...colourTags(format[2] ?? ''),
      rotation: clockwise(turn === null ? 0 : Number(turn[1])),
      durationS: duration === null ? null : Number(duration[1]) * 3600 + Number(duration[2]) * 60 + Number(duration[3]),
      startS: start === null ? 0 : Number(start[1]),
      framesPerSecond: rate === null ? null : Number(rate[1]) * (rate[2] === 'k' ? 1000 : 1),
    },
  };
}

function noPicture(text: string): string {
  const claimed = /Picture size (\d+x\d+) is invalid/.exec(text);
  if (claimed === null) return 'its video stream has no picture size';
  return `it claims pictures of ${claimed[1]!.replace('x', ' x ')} pixels, more than any camera's`;
}

/** `tv, bt709` or `pc, bt470bg/unknown/unknown, progressive`: range, then matrix/primaries/transfer. */
function colourTags(text: string): Pick<VideoFacts, 'rangeTag' | 'matrixTag' | 'primariesTag' | 'transferTag'> {
  const words = text.split(', ');
  const range = words.includes('pc') ? 'full' : words.includes('tv') ? 'limited' : null;
  const other =
    words.find((word) => !/^(pc|tv|progressive|.*first|.*displayed|top.*|bottom.*|.*bpc)$/.test(word)) ?? '';
  const parts = other === '' ? [] : other.split('/');
  const [matrix, primaries = matrix, transfer = matrix] = parts;
  const known = (tag: string | undefined): string | null =>
    tag === undefined || tag === 'unknown' || tag === 'reserved' ? null : tag;
  return { rangeTag: range, matrixTag: known(matrix), primariesTag: known(primaries), transferTag: known(transfer) };
}

/** ffmpeg prints the counter-clockwise angle of the display matrix. */
function clockwise(printed: number): 0 | 90 | 180 | 270 {
  const turn = (((Math.round(-printed / 90) * 90) % 360) + 360) % 360;
  if (turn === 0 || turn === 90 || turn === 180 || turn === 270) return turn;
  throw new MachineError('rotation', `a rotation of ${printed} degrees`);
}
