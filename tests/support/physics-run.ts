import type { Role } from '../../src/model/run.ts';
import type { Random } from '../../src/numeric/random.ts';
import type { Triple, VialColours } from '../../src/reaction/vial-colours.ts';
import type { Physics } from './other-physics.ts';

export interface PhysicsVial {
  readonly role: Role;
  readonly knownExtent?: number;
  readonly extentAt: (timeS: number) => number;
}

export interface PhysicsRun {
  readonly vials: readonly VialColours[];
  /** True extents by vial and frame. */
  readonly truth: readonly (readonly number[])[];
}

/** The main job's rack: blank, two positives, three negatives, six samples (clean, trace, dirty, wrong, delayed, inert). */
export const usualRack: readonly PhysicsVial[] = [
  { role: 'blank', extentAt: () => 0 },
  { role: 'positive', extentAt: (t) => 1 - Math.exp(-t / 1500) },
  { role: 'positive', extentAt: (t) => 1 - Math.exp(-t / 3500) },
  { role: 'negative', extentAt: (t) => 2e-7 * t },
  { role: 'negative', extentAt: (t) => 3e-7 * t },
  { role: 'negative', extentAt: (t) => 2.5e-7 * t },
  { role: 'sample', extentAt: (t) => 2e-7 * t },
  { role: 'sample', extentAt: (t) => 0.12 * (1 - Math.exp(-t / 1200)) },
  { role: 'sample', extentAt: (t) => 0.5 * (1 - Math.exp(-t / 2500)) },
  { role: 'sample', extentAt: (t) => 1 - Math.exp(-t / 2800) },
  { role: 'sample', extentAt: (t) => (t < 4000 ? 0 : 1 - Math.exp(-(t - 4000) / 5000)) },
  { role: 'sample', extentAt: () => 0 },
];

export const threeMixtures: readonly PhysicsVial[] = [0.25, 0.5, 0.75].map((extent) => ({
  role: 'mixture',
  knownExtent: extent,
  extentAt: () => extent,
}));

/** Colours of a rack under a physics: glass, shading, noise and 8-bit cut-off included; 300 frames over eight hours. */
export function runOfPhysics(physics: Physics, rack: readonly PhysicsVial[], random: Random): PhysicsRun {
  const timeS = Array.from({ length: 300 }, (_, frame) => frame * 96);
  const corner = 0.15 * random.uniform();
  const tilt = 0.04 * random.normal();
  const truth: number[][] = [];
  const vials = rack.map((vial, index): VialColours => {
    const columns = Math.ceil(rack.length / 2);
    const place = [-0.7 + (1.4 * (index % columns)) / (columns - 1), index < columns ? -0.22 : 0.25] as const;
    const shade = -corner * (place[0] ** 2 + place[1] ** 2) + tilt * place[0];
    const brightness = Math.exp(shade + 0.01 * random.normal());
    const bore = Math.exp(0.007 * random.normal());
    const extents = timeS.map((time) => vial.extentAt(time));
    truth.push(extents);
    return {
      region: `V${index + 1}`,
      role: vial.role,
      knownExtent: vial.knownExtent ?? null,
      place,
      timeS,
      rgb: extents.map((extent): Triple => {
        const [red, green, blue] = physics.colour(extent, brightness, bore);
        return [cut(red, random), cut(green, random), cut(blue, random)];
      }),
      se: timeS.map((): Triple => [0.0008, 0.0008, 0.0008]),
    };
  });
  return { vials, truth };
}

/** Cut off as a camera does, with the noise of a region's mean. */
function cut(linear: number, random: Random): number {
  return Math.min(1, Math.max(0, linear)) * (1 + 0.0015 * random.normal()) + 0.0001 * Math.abs(random.normal());
}
