import type { Situation } from './situation.ts';

/**
 * Why nothing quantitative can be said of any sample: no patch or steady background shows the light, and nothing shows that the camera's
 * settings stood still. Automatic exposure and white balance follow the rack's own colour, so a turning rack turns the picture of a still
 * vial too. `null`: the light is known, or the settings are.
 */
export function unsteadyCamera({ input }: Pick<Situation, 'input'>): string | null {
  const { light } = input.measurement;
  if (light.basis !== 'none' || light.settings === 'locked' || input.run.rig.settings === 'locked') return null;
  const known =
    light.settings === 'automatic'
      ? 'the camera set exposure or white balance by itself'
      : 'nothing shows that exposure and white balance were locked';
  return `No neutral patch is in the picture and ${known}: automatic settings follow the rack\u2019s own colour, so extents cannot be compared. Put a white or grey patch in the picture, or lock the settings and say so in rig.json ("settings": "locked").`;
}
