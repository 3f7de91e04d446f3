import { noiseSd, roughness } from './noise-sd.ts';
import type { Step } from './find-steps.ts';

/** Frames on either side in the local line. Chosen: lamp drift is slower than a dozen frames; steps are cut out first. */
const halfWindow = 6;

/** A line fitted around every frame (tricube weights), never across a step; `null` stays `null`. */
export function smoothSeries(values: readonly (number | null)[], steps: readonly Step[]): (number | null)[] {
  const edges = [0, ...steps.map(({ frame }) => frame), values.length];
  return values.map((value, frame) => {
    if (value === null) return null;
    const from = Math.max(frame - halfWindow, ...edges.filter((edge) => edge <= frame));
    const to = Math.min(frame + halfWindow + 1, ...edges.filter((edge) => edge > frame));
    let [w, wx, wxx, wy, wxy] = [0, 0, 0, 0, 0];
    for (let at = from; at < to; at += 1) {
      const y = values[at] ?? null;
      if (y === null) continue;
      const x = (at - frame) / (halfWindow + 1);
      const weight = (1 - Math.abs(x) ** 3) ** 3;
      w += weight;
      wx += weight * x;
      wxx += weight * x * x;
      wy += weight * y;
      wxy += weight * x * y;
    }
    const spread = w * wxx - wx * wx;
    return spread > 1e-9 ? (wxx * wy - wx * wxy) / spread : wy / w;
  });
}

/**
 * How much of the reference's frame-to-frame change is light that the vials saw too (flicker, exposure hunting), 0..1; the rest is the reference's own noise.
 * Slope of the vials' common roughness on the reference's, held near what the reference's stated error predicts by a prior of 0.3 (chosen).
 * The reaction does not enter: it is smooth from frame to frame.
 */
export function sharedFlicker(
  reference: readonly (number | null)[],
  referenceSe: number,
  vials: readonly (number | null)[],
): number {
  const variance = 1.5 * noiseSd(reference) ** 2;
  if (variance === 0) return 0;
  const expected = Math.max(0, 1 - (1.5 * referenceSe ** 2) / variance);
  const roughReference = roughness(reference);
  const roughVials = roughness(vials);
  const limit = 5 * Math.sqrt(variance);
  let product = 0;
  let square = 0;
  let count = 0;
  const pairs: [number, number][] = [];
  roughReference.forEach((x, frame) => {
    const y = roughVials[frame] ?? null;
    if (x === null || y === null || Math.abs(x) > limit || Math.abs(y) > limit) return;
    product += x * y;
    square += x * x;
    count += 1;
    pairs.push([x, y]);
  });
  if (count < 5 || square === 0) return expected;
  const slope = product / square;
  const residual = pairs.reduce((sum, [x, y]) => sum + (y - slope * x) ** 2, 0) / (count - 1);
  const precision = square / Math.max(residual, 1e-12);
  const prior = 1 / 0.3 ** 2;
  return Math.min(1, Math.max(0, (slope * precision + expected * prior) / (precision + prior)));
}
