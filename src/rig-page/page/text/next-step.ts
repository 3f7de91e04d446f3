import type { Sheet } from '../state/document.ts';
import type { Start } from '../../messages.ts';
import { runTimeOf } from './run-time.ts';

/** What is still to be done before the run can be analysed, in the order of the page; `null`: save. */
export function nextStep(sheet: Sheet, start: Start): string | null {
  if (sheet.regions.length === 0) return 'place the vials';
  const needsTime = sheet.run.timing !== 'exif' && runTimeOf(1, sheet.run, start) === null;
  if (needsTime) return 'say how the frames are timed';
  const roles = Object.values(sheet.vials).map(({ role }) => role);
  return roles.every((role) => role === 'sample') ? 'say which vials are blank, positive and negative' : null;
}
