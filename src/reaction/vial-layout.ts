import { type Backdrop, unseenFallOff } from '../model/backdrop.ts';
import { encodedPath, type EncodedPath } from './nearest-extent.ts';
import { parameterCount } from './path-misfit.ts';

/** Spread of a vial's brightness (glass) and light path (bore) about what its place explains, as standard deviations of logs. */
export interface VialSpread {
  readonly brightness: number;
  readonly path: number;
}

/** Where the vials stand, and how much they may differ. */
export interface VialLayout {
  readonly count: number;
  readonly spread: VialSpread;
  readonly shadingPrior: ShadingPrior;
  /** A vial's shading terms: x, y and squared distance from the frame's centre (half a diagonal = 1), less their means. */
  readonly shading: readonly (readonly [number, number, number])[];
}

/** Unknowns of the light over the frame: tilts along x and y, and fall-off towards the corners, as log brightness. */
export const shadingCount = 3;
export interface ShadingPrior {
  readonly mean: readonly [number, number, number];
  readonly sd: readonly [number, number, number];
}

const unseenShading: ShadingPrior = {
  mean: [0, 0, 0],
  sd: [unseenFallOff.tiltX, unseenFallOff.tiltY, unseenFallOff.fallOff],
};
/**
 * What a backdrop may be off from the light that comes through the vials, which stand in front of it, log brightness over half a
 * diagonal: so much at least, and this share of what it shows. Chosen. Measured on 54 racks of encoded pictures of the forward model,
 * references in the upper row: still samples off by 0.021 of extent (root mean square) without a backdrop, 0.016 with 0.03 and
 * 0.25, 0.014 so; stated were 0.012, 0.011 and 0.011.
 */
const [leastOff, shareOff] = [0.02, 0.1];

/** What is believed of the light over the frame before a vial is seen; `null`: no backdrop shows it. */
export function shadingPrior(backdrop: Backdrop | null): ShadingPrior {
  if (backdrop === null) return unseenShading;
  const { tiltX, tiltY, fallOff } = backdrop;
  const off = (value: number, most: number): number =>
    Math.min(most, Math.hypot(leastOff, shareOff * value, backdrop.residual));
  const [sdX, sdY, sdSquare] = unseenShading.sd;
  return { mean: [tiltX, tiltY, fallOff], sd: [off(tiltX, sdX), off(tiltY, sdY), off(fallOff, sdSquare)] };
}

/** @param places centre of each vial, half a diagonal of the frame = 1, from the frame's centre */
export function vialLayout(
  places: readonly (readonly [number, number])[],
  spread: VialSpread,
  prior: ShadingPrior,
): VialLayout {
  const terms = places.map(([x, y]) => [x, y, x * x + y * y] as const);
  const mean = (term: 0 | 1 | 2): number => terms.reduce((sum, one) => sum + one[term], 0) / Math.max(1, terms.length);
  const means = [mean(0), mean(1), mean(2)] as const;
  return {
    count: places.length,
    spread,
    shadingPrior: prior,
    shading: terms.map(([x, y, square]) => [x - means[0], y - means[1], square - means[2]]),
  };
}

/** Log brightness (place and glass) and log light path of a vial under the parameters. */
export function vialAt(
  p: ArrayLike<number>,
  vials: VialLayout,
  vial: number,
): { readonly logBrightness: number; readonly logPath: number } {
  const own = parameterCount + shadingCount + 2 * vial;
  let logBrightness = p[own]!;
  for (let shade = 0; shade < shadingCount; shade += 1) {
    logBrightness += p[parameterCount + shade]! * vials.shading[vial]![shade]!;
  }
  return { logBrightness, logPath: p[own + 1]! };
}

/** Every vial's own path under the parameters. */
export function vialPaths(
  p: ArrayLike<number>,
  linear: ArrayLike<number>,
  byLogPath: ArrayLike<number>,
  vials: VialLayout,
): readonly EncodedPath[] {
  return vials.shading.map((_, vial) => {
    const { logBrightness, logPath } = vialAt(p, vials, vial);
    return encodedPath(linear, byLogPath, logBrightness, logPath);
  });
}
