import { meanLab } from './distance.ts';
import { inEvenLight, placeLight } from './place-light.ts';
import type { Unit, Vector3, VialColour } from './types.ts';

/** Vials joined into liquids, every picture's light evened out as far as its replicates show it. */
export function unitsOf(vials: readonly VialColour[]): { readonly units: readonly Unit[]; readonly spentDf: number } {
  const units: Unit[] = [];
  let spentDf = 0;
  for (const picture of ['own', 'other'] as const) {
    const here = vials.filter((vial) => vial.picture === picture);
    if (here.length === 0) continue;
    const light = placeLight(here);
    spentDf += light.spentDf;
    const groups = new Map<string, { vial: VialColour; terms: Vector3 }[]>();
    here.forEach((vial, index) => {
      const log = light.logBrightness[index]!;
      const even = {
        ...vial,
        final: inEvenLight(vial.final, log),
        history: vial.history?.map((colour) => inEvenLight(colour, log)) ?? null,
      };
      const key = `${vial.role}/${vial.unit}`;
      groups.set(key, [...(groups.get(key) ?? []), { vial: even, terms: light.terms[index]! }]);
    });
    for (const members of groups.values()) units.push(unitOf(members, light.covariance));
  }
  return { units, spentDf };
}

function unitOf(
  members: readonly { readonly vial: VialColour; readonly terms: Vector3 }[],
  covariance: Unit['light']['covariance'],
): Unit {
  const vials = members.map(({ vial }) => vial);
  const { unit: name, role, picture } = vials[0]!;
  const histories = vials.map(({ history }) => history).filter((history) => history !== null);
  const middle = [0, 1, 2].map((term) => members.reduce((sum, one) => sum + one.terms[term]!, 0) / members.length);
  return {
    name,
    role,
    vials,
    final: meanLab(vials.map(({ final }) => final)),
    history:
      histories.length === 0 ? null : histories[0]!.map((_, at) => meanLab(histories.map((history) => history[at]!))),
    light: { picture, terms: middle as unknown as Vector3, covariance },
  };
}
