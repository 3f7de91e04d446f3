import { linearRgbToLab, type Lab } from '../../src/colour/index.ts';
import type { VialColour } from '../../src/match/types.ts';
import { createRandom, type Random } from '../../src/numeric/random.ts';

type Rgb = readonly [number, number, number];

/** How like vials of one panel differ; all relative, standard deviations unless said. */
export interface PanelWorld {
  /** Loss of light in the corners, and from one side to the other (whole, not a deviation). */
  readonly vignetting: number;
  readonly tilt: number;
  /** Unevenness in blotches of the picture. */
  readonly blotches: number;
  readonly glass: number;
  readonly depth: number;
  /** Of every channel of every vial: noise, coding, residual glare. */
  readonly reading: number;
  /** Multipliers of the lamp and camera on linear red, green and blue. */
  readonly lamp: Rgb;
  /** Whether replicates stand side by side. */
  readonly beside: boolean;
}

export function drawWorld(random: Random): PanelWorld {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  return {
    vignetting: between(0, 0.25),
    tilt: between(-0.12, 0.12),
    blotches: between(0.003, 0.009),
    glass: between(0.004, 0.02),
    depth: between(0.005, 0.05),
    reading: between(0.001, 0.006),
    lamp: [between(0.75, 1), between(0.75, 1), between(0.6, 1)],
    beside: random.uniform() < 0.5,
  };
}

const columns = 12;

/** Liquids as they stand in the rack: what each is, and its colour in linear light, 0..1. */
export interface Liquid {
  readonly role: VialColour['role'];
  readonly unit: string;
  readonly rgb: Rgb;
  readonly vials: number;
}

/** All vials of a panel as measured: places in rows, light over the picture, and every vial's own deviations. */
export function panelColours(liquids: readonly Liquid[], world: PanelWorld, seed: string): readonly VialColour[] {
  const random = createRandom(seed);
  const listed = liquids.flatMap((liquid) => Array.from({ length: liquid.vials }, () => liquid));
  const order = listed.map((liquid, index) => ({ liquid, at: world.beside ? index : random.uniform() }));
  const inRack = [...order].sort((one, other) => one.at - other.at).map(({ liquid }) => liquid);
  const rows = Math.ceil(inRack.length / columns);
  const phase = [random.uniform() * 6, random.uniform() * 6] as const;
  return inRack.map((liquid, index): VialColour => {
    const place = [
      -0.8 + (1.6 * (index % columns)) / (columns - 1),
      rows === 1 ? 0 : -0.35 + (0.7 * Math.floor(index / columns)) / (rows - 1),
    ] as const;
    return {
      region: `V${index}`,
      label: liquid.unit,
      role: liquid.role,
      unit: liquid.unit,
      place,
      picture: 'own',
      final: seen(liquid.rgb, lightAt(place, world, phase), world, random),
      history: null,
      readingError: 0.1,
      clipped: [],
    };
  });
}

function lightAt([x, y]: readonly [number, number], world: PanelWorld, phase: readonly [number, number]): number {
  const blotch = Math.SQRT2 * world.blotches * Math.sin(7 * x + phase[0]) * Math.sin(9 * y + phase[1]) * Math.SQRT2;
  return (1 - world.vignetting * (x * x + y * y)) * (1 + world.tilt * (x + y)) * (1 + blotch);
}

/** Bouguer and Beer for the depth; light and glass multiply; what a lamp and camera make of it. */
function seen(rgb: Rgb, light: number, world: PanelWorld, random: Random): Lab {
  const depth = 1 + world.depth * random.normal();
  const glass = light * (1 + world.glass * random.normal());
  return linearRgbToLab(
    rgb.map((value, channel) => {
      const clean = world.lamp[channel]! * value ** depth * glass;
      return Math.max(0.0005, clean * (1 + world.reading * random.normal()) + 0.0005 * random.normal());
    }) as unknown as Rgb,
  );
}
