import { linearRgbToOklab, oklabDistance, oklabToOklch } from '../colour/oklab.ts';
import type { LinearRgb, Oklab } from '../colour/oklab.ts';
import type { Column } from '../model/measurement.ts';

/** When a vial got its reagent, or why that cannot be told. */
export type DosingTime =
  | { readonly status: 'found'; readonly addedRunS: number; /** Standard uncertainty, s. */ readonly u: number }
  | { readonly status: 'before-first-frame' | 'not-seen'; readonly reason: string };

/** Hues of a coloured reagent and least chroma. Defaults for dichromate orange; OKLCh degrees. */
export interface ReagentLook {
  readonly hueFromDeg: number;
  readonly hueToDeg: number;
  readonly chroma: number;
}
/** Chosen: from red-orange through yellow; thin layers of dichromate are yellow near 100 degrees. */
const dichromateLook: ReagentLook = { hueFromDeg: 30, hueToDeg: 115, chroma: 0.06 };
/** Change of OKLab colour that the filling must bring. Chosen: far above noise and lamp. */
const smallestChange = 0.08;

/**
 * Finds when a vial's liquid turned reagent-coloured, from its colours (linear, relative to the neutral patches). The time is the middle between the last frame
 * before and the first one after that stays coloured; uncertainty of a uniform value in between, gap / sqrt(12). A vial already coloured at the start
 * was dosed before the film: its time must be asked for.
 */
export function findDosingTime(
  timeRunS: readonly number[],
  colours: { readonly red: Column; readonly green: Column; readonly blue: Column },
  look: ReagentLook = dichromateLook,
): DosingTime {
  const known = timeRunS.flatMap((time, frame) => {
    const rgb = [colours.red[frame] ?? null, colours.green[frame] ?? null, colours.blue[frame] ?? null];
    return rgb.some((value) => value === null) ? [] : [{ time, lab: linearRgbToOklab(rgb as unknown as LinearRgb) }];
  });
  const first = known[0];
  if (first === undefined) return { status: 'not-seen', reason: 'the vial could not be read in any frame' };
  if (isReagent(first.lab, look)) {
    return { status: 'before-first-frame', reason: 'the vial holds reagent already in the first frame' };
  }
  for (let frame = 1; frame < known.length; frame += 1) {
    // It must stay: a hand or a pipette passing is no filling.
    const stays = known.slice(frame, frame + 3);
    if (!stays.every(({ lab }) => isReagent(lab, look) && oklabDistance(lab, first.lab) > smallestChange)) continue;
    const before = known[frame - 1]!.time;
    const after = known[frame]!.time;
    return { status: 'found', addedRunS: (before + after) / 2, u: (after - before) / Math.sqrt(12) };
  }
  return { status: 'not-seen', reason: 'the vial never turned reagent-coloured in the film' };
}

function isReagent(lab: Oklab, look: ReagentLook): boolean {
  const { chroma, hueDeg } = oklabToOklch(lab);
  return hueDeg !== null && chroma >= look.chroma && hueDeg >= look.hueFromDeg && hueDeg <= look.hueToDeg;
}
