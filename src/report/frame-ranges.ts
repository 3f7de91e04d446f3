/** Neighbouring frames rejected for one reason. */
export interface FrameRange {
  /** `frame 88` or `frames 88 to 92`. */
  readonly frames: string;
  readonly reason: string;
}

/** Joins runs of neighbouring frame numbers with one reason; order of the frames. */
export function frameRanges(rejected: readonly { readonly index: number; readonly reason: string }[]): FrameRange[] {
  const sorted = [...rejected].sort((first, second) => first.index - second.index);
  const ranges: { from: number; to: number; reason: string }[] = [];
  for (const { index, reason } of sorted) {
    const last = ranges.at(-1);
    if (last !== undefined && last.reason === reason && index === last.to + 1) last.to = index;
    else ranges.push({ from: index, to: index, reason });
  }
  return ranges.map(({ from, to, reason }) => ({
    frames: from === to ? `frame ${from}` : `frames ${from} to ${to}`,
    reason,
  }));
}
