import { medianOfAll } from '../numeric/median.ts';
import type { MeasurementNote, MotionColumns } from '../model/measurement.ts';

/** A lasting change of at least this many pixels between medians before and after is called a knock. Chosen: ten times the tracker's error. */
const smallestKnock = 0.5;
/** A change of scale of at least this much, alone, is called breathing of the focus. Chosen: 1 px at the edge of a frame of 2,000 px. */
const smallestBreath = 1e-3;

/** Notes on knocks (time and size), creeping, and focus breathing over the used frames. */
export function describeMotion(timeRunS: readonly number[], motion: MotionColumns): MeasurementNote[] {
  const notes: MeasurementNote[] = [];
  const known = timeRunS.flatMap((time, index) => {
    const dx = motion.dx[index] ?? null;
    const dy = motion.dy[index] ?? null;
    const scale = motion.scale[index] ?? null;
    return dx === null || dy === null || scale === null ? [] : [{ time, dx, dy, scale }];
  });
  const knocks: number[] = [];
  for (let index = 1; index < known.length; index += 1) {
    const before = known.slice(Math.max(0, index - 3), index);
    const after = known.slice(index, index + 3);
    const dx = medianOfAll(after.map((frame) => frame.dx)) - medianOfAll(before.map((frame) => frame.dx));
    const dy = medianOfAll(after.map((frame) => frame.dy)) - medianOfAll(before.map((frame) => frame.dy));
    const step = Math.hypot(known[index]!.dx - known[index - 1]!.dx, known[index]!.dy - known[index - 1]!.dy);
    const size = Math.hypot(dx, dy);
    // The step itself must make up most of the change, else the window only straddles a neighbour's knock.
    if (size < smallestKnock || step < 0.6 * size) continue;
    knocks.push(index);
    notes.push({
      code: 'camera-moved',
      severity: size > 15 ? 'warn' : 'info',
      message: `The camera or the rack moved by ${size.toFixed(1)} px (${dx.toFixed(1)} right, ${dy.toFixed(1)} down); the regions followed.`,
      fromRunS: known[index - 1]!.time,
      toRunS: known[index]!.time,
      region: null,
    });
  }
  const first = known[0];
  const last = known.at(-1);
  if (first === undefined || last === undefined) return notes;
  const creep = Math.hypot(last.dx - first.dx, last.dy - first.dy);
  if (knocks.length === 0 && creep >= 1) {
    notes.push({
      code: 'camera-crept',
      severity: 'info',
      message: `The picture crept by ${creep.toFixed(1)} px over the run; the regions followed.`,
      fromRunS: first.time,
      toRunS: last.time,
      region: null,
    });
  }
  const scales = known.map((frame) => frame.scale);
  const range = Math.max(...scales) - Math.min(...scales);
  if (range >= smallestBreath) {
    const widest = known.filter((frame) => Math.abs(frame.scale - medianOfAll(scales)) > range / 2);
    notes.push({
      code: 'focus-breathing',
      severity: 'info',
      message: `The picture's scale changed by ${(100 * range).toFixed(2)} %: the focus was hunting or the camera came nearer; lock the focus.`,
      fromRunS: widest[0]?.time ?? first.time,
      toRunS: widest.at(-1)?.time ?? last.time,
      region: null,
    });
  }
  return notes;
}
