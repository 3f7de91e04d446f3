import type { Note } from '../note.ts';
import type { VideoPart } from './video-part.ts';

/** Times the usual distance from which a picture is missing between two. */
const hole = 1.5;

/**
 * Tells that `interval_s`, which counts pictures, does not agree with the film's own times: pictures are missing, or
 * came at an uneven pace. `null`: they agree, or the film has no times.
 */
export function unevenNote({ times, frameS, rateUnknown, shown }: VideoPart, intervalS: number): Note | null {
  if (times === null || rateUnknown) return null;
  const holes = times.flatMap((time, at) => (at > 0 && time - times[at - 1]! > hole * frameS ? [at] : []));
  const [first] = holes;
  if (first === undefined) return null;
  const missing = holes.reduce((sum, at) => sum + Math.round((times[at]! - times[at - 1]!) / frameS) - 1, 0);
  const pictures = missing === 1 ? 'one picture is' : `${missing} pictures are`;
  const places =
    holes.length === 1 ? `after picture ${first}` : `in ${holes.length} places, first after picture ${first}`;
  const speed = Number((intervalS / frameS).toPrecision(6));
  const message = `${shown}: by the film's own times ${pictures} missing ${places}. interval_s counts the pictures that are there, so later times are too early by as many intervals. If the film's own times are true, give "timing: { speed: ${speed} }" in place of interval_s.`;
  return { code: 'film-uneven', severity: 'warn', message };
}
