import { regionsText } from '../obstacles.ts';
import type { Check } from '../situation.ts';
import { leftOutAsReferences } from './left-out.ts';

/** Two liquid layers have no common colour and no common rate. */
export const twoLayers: Check = (situation) => {
  const code = 'two-layers';
  const layered = situation.vials.filter(({ trouble }) => trouble?.code === 'two-layers');
  return layered.length === 0
    ? [{ code, status: 'pass', message: 'No vial shows two liquid layers at the reading time.' }]
    : [
        {
          code,
          status: 'warn',
          message: `${regionsText(layered)}: upper and lower part differ in colour (two layers, or settling). Use less sample, and mix.${leftOutAsReferences(layered)}`,
        },
      ];
};
