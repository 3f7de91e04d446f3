import type { DosedMaterial } from './vial-dose.ts';
import type { SubstanceClass } from './substances.ts';

const gasConstant = 8.314462618; // J/(mol K), exact (SI 2019)
/** Activation energy of the oxidation, kJ/mol: 40 by Hassan et al. (2011), others quote 50-60 (from memory). */
export const activationKJ = { low: 40, usual: 50, high: 60 } as const;
/** Of the splitting of an ester by acid, kJ/mol (67-70, from memory). */
const esterActivationKJ = 68.5;
/** Acid splitting of ethyl acetate at 25 C, L/(mol s), from memory. */
const esterRateLMolS = 1.1e-4;
/** Order in acid: first in dilute, second in stronger acid. */
export const acidOrder = { low: 1, usual: 1.5, high: 2 } as const;

/**
 * Half-times of references in excess at 25 C and 1.63 mol/L sulfuric acid, minutes. No table was found for this recipe:
 * chosen within common practice (primary and secondary alcohols turn within minutes when warm to two hours when cold).
 * A half-time of the bench's own goes before them.
 */
const chosenHalfTimeMin: Readonly<Partial<Record<SubstanceClass, number>>> = {
  primary: 20,
  secondary: 12,
  aldehyde: 8,
};
/** What the half-times above are for: room temperature, and the acid of the demo's reagent (chosen together with them). */
const atC = 25;
const atAcidMolL = 1.63;
/** Extent per second of a resisting sample (loss of water, then oxidation); chosen, as in the demo: 1 % in some five hours. */
export const slowRate = 5e-7;

/** Factor on a rate from `fromC` to `toC` (Arrhenius). */
export function warmthFactor(fromC: number, toC: number, kJMol: number = activationKJ.usual): number {
  return Math.exp(((kJMol * 1000) / gasConstant) * (1 / (fromC + 273.15) - 1 / (toC + 273.15)));
}

export interface Pace {
  /** In excess, at this recipe and temperature, s. */
  readonly halfTimeS: number;
  readonly lowS: number;
  readonly highS: number;
  readonly basis: 'this bench' | 'chosen';
}

/** How fast a dosed material turns; `null` for what does not within hours. */
export function paceOf(
  dosed: Pick<DosedMaterial, 'kind'> & { readonly halfTimeMin?: number | undefined },
  temperatureC: number,
  acidMolL: number,
): Pace | null {
  if (dosed.halfTimeMin !== undefined) {
    const own = dosed.halfTimeMin * 60;
    return { halfTimeS: own, lowS: own / 1.3, highS: own * 1.3, basis: 'this bench' };
  }
  const chosen = dosed.kind === null ? undefined : chosenHalfTimeMin[dosed.kind];
  if (chosen === undefined || acidMolL <= 0) return null;
  const strength = acidMolL / atAcidMolL;
  const at = (kJMol: number, order: number): number =>
    (chosen * 60) / (warmthFactor(atC, temperatureC, kJMol) * strength ** order);
  const corners = [activationKJ.low, activationKJ.high].flatMap((kJ) => [
    at(kJ, acidOrder.low),
    at(kJ, acidOrder.high),
  ]);
  // The chosen half-times themselves may be off by a factor of three either way.
  return {
    halfTimeS: at(activationKJ.usual, acidOrder.usual),
    lowS: Math.min(...corners) / 3,
    highS: Math.max(...corners) * 3,
    basis: 'chosen',
  };
}

/** Rate at which acid splits an ester (ethyl acetate), 1/s. */
export function esterRateAt(temperatureC: number, acidMolL: number): number {
  return esterRateLMolS * acidMolL * warmthFactor(25, temperatureC, esterActivationKJ);
}

/** Seconds until an ester's extent passes the margin: half k_oxidation k_splitting t^2. */
export function esterDelayS(margin: number, alcoholHalfTimeS: number, temperatureC: number, acidMolL: number): number {
  const oxidation = Math.LN2 / alcoholHalfTimeS;
  const splitting = esterRateAt(temperatureC, acidMolL);
  return Math.sqrt((2 * margin) / (oxidation * splitting));
}
