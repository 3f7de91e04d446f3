import type { Check } from '../situation.ts';
import { percentText } from '../text.ts';
import { unsteadyCamera } from '../unsteady-camera.ts';
import { notesOfFamily, worst } from './notes.ts';

/** Drift of the light that correction should cope with; chosen: modelled racks drifted by 7 % either way and stayed within bounds. */
const largeDrift = 0.2;

/** Whether the light was followed, how far it drifted, and any step, flicker or lost patch seen while measuring. */
export const light: Check = ({ input }) => {
  const code = 'light';
  const { basis, driftRange } = input.measurement.light;
  const notes = notesOfFamily(input.measurement, 'light').filter((note) => note.code !== 'no-neutral-patch');
  const said = notes.map(({ message }) => message);
  if (basis === 'none') {
    const message =
      'There is no neutral patch: lamp drift could not be told from reaction. Blank and negative references carry part of it; errors were widened.';
    const unsteady = unsteadyCamera({ input });
    const status = worst(unsteady === null ? 'warn' : 'fail', notes);
    return [{ code, status, message: [message, ...(unsteady === null ? [] : [unsteady]), ...said].join(' ') }];
  }
  const drift =
    driftRange === null ? '' : ` It drifted by ${percentText(driftRange)} over the run, which was corrected.`;
  const followed =
    basis === 'patches'
      ? 'The light was followed on neutral patches.'
      : 'The light was followed on the background of the picture, with a larger error.';
  const large = driftRange !== null && driftRange > largeDrift;
  const status = worst(large || basis === 'background' ? 'warn' : 'pass', notes);
  return [{ code, status, message: [`${followed}${drift}`, ...said].join(' ') }];
};
