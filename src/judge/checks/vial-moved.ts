import { moveText } from '../move-text.ts';
import type { Check } from '../situation.ts';

/** Whether a vial alone looks moved, lifted or turned in mid-run. */
export const vialMoved: Check = ({ vials }) => {
  const code = 'vial-moved';
  const said = vials.flatMap(({ vial, move }) => (move === null ? [] : [`${vial.region} ${moveText(move)}.`]));
  return said.length === 0
    ? [{ code, status: 'pass', message: 'No vial looks moved or turned by itself.' }]
    : [{ code, status: 'warn', message: `${said.join(' ')} Note such moments as events of the run file.` }];
};
