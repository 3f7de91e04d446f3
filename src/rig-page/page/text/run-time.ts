import type { Start } from '../../messages.ts';
import type { RunDraft } from '../state/document.ts';
import { clockText, parseNumber, parseTime } from './time-text.ts';

/** Run clock of a frame, seconds, taking frames as evenly spaced; `null` while the timing is not given. */
export function runTimeOf(frame: number, run: RunDraft, start: Start): number | null {
  const { frames, playbackS, clockLengthS } = start.source;
  const share = frames <= 1 ? 0 : frame / (frames - 1);
  if (run.timing === 'exif') return clockLengthS === null ? null : share * clockLengthS;
  const value = run.timing === 'speed' ? parseNumber(run.timingValue) : parseTime(run.timingValue);
  if (value === null || value <= 0) return null;
  if (run.timing === 'interval') return frame * value;
  if (run.timing === 'lasted') return share * value;
  return playbackS === null ? null : share * playbackS * value;
}

/** `frame 241 of 481, 1:20:00` */
export function frameWords(frame: number, run: RunDraft, start: Start): string {
  const time = runTimeOf(frame, run, start);
  const place = `frame ${frame + 1} of ${start.source.frames}`;
  return time === null ? place : `${clockText(time)} (${place})`;
}
