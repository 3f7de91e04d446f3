import { daylightD65, wavelengthsNm, xyzOf, type Triple } from '../spectra/index.ts';

/** A printed colour chart of the forward model: 4 rows of 6, invented smooth reflectances. */
export const chartRows = 4;
export const chartColumns = 6;

interface Paint {
  /** Reflectance 0..1 on the common wavelength grid. */
  readonly reflectance: Float64Array;
}

/** Bands of a paint: reflectance `base`, plus bells (height, centre and width in nm) and edges that rise (height, place, softness in nm). */
interface Recipe {
  readonly base: number;
  readonly bells?: readonly (readonly [height: number, centreNm: number, widthNm: number])[];
  readonly edges?: readonly (readonly [height: number, placeNm: number, softnessNm: number])[];
}

/** Chosen: two browns, leaf, sky, violet and teal; orange to purple; primaries and secondaries; six greys. */
const recipes: readonly Recipe[] = [
  { base: 0.05, edges: [[0.13, 590, 18]] },
  { base: 0.18, bells: [[0.08, 520, 40]], edges: [[0.38, 590, 16]] },
  { base: 0.12, bells: [[0.25, 460, 45]], edges: [[0.02, 690, 12]] },
  { base: 0.05, bells: [[0.15, 550, 32]] },
  { base: 0.2, bells: [[0.3, 440, 40]], edges: [[0.25, 650, 20]] },
  { base: 0.12, bells: [[0.46, 500, 45]] },
  { base: 0.05, edges: [[0.55, 585, 14]] },
  { base: 0.06, bells: [[0.32, 450, 35]] },
  { base: 0.09, edges: [[0.52, 605, 13]] },
  { base: 0.05, bells: [[0.16, 435, 28]], edges: [[0.16, 660, 16]] },
  { base: 0.08, bells: [[0.42, 550, 42]], edges: [[0.12, 560, 15]] },
  { base: 0.07, edges: [[0.66, 560, 18]] },
  { base: 0.04, bells: [[0.27, 445, 25]] },
  { base: 0.06, bells: [[0.27, 530, 30]] },
  { base: 0.04, edges: [[0.58, 615, 11]] },
  { base: 0.06, edges: [[0.74, 520, 15]] },
  { base: 0.09, bells: [[0.35, 445, 38]], edges: [[0.55, 610, 12]] },
  { base: 0.07, bells: [[0.38, 480, 45]] },
  ...[0.88, 0.58, 0.36, 0.19, 0.09, 0.035].map((base) => ({ base })),
];

/** The paints, row by row. */
export const chartPaints: readonly Paint[] = recipes.map(({ base, bells = [], edges = [] }) => ({
  reflectance: Float64Array.from(wavelengthsNm, (nm) => {
    const bell = bells.reduce(
      (sum, [height, centre, width]) => sum + height * Math.exp(-0.5 * ((nm - centre) / width) ** 2),
      0,
    );
    const edge = edges.reduce((sum, [height, place, soft]) => sum + height / (1 + Math.exp((place - nm) / soft)), 0);
    return Math.min(0.95, base + bell + edge);
  }),
}));

/** CIE XYZ of a paint under D65, Y of white = 100. */
function paintXyz({ reflectance }: Paint): Triple {
  const white = daylightD65();
  const xyz = xyzOf(
    reflectance.map((share, index) => share * white[index]!),
    white,
  );
  return [100 * xyz[0], 100 * xyz[1], 100 * xyz[2]];
}

/** The chart's table as its user would have it: CSV, the light it holds for stated. */
export function chartTable(): string {
  const rows = chartPaints.map((paint, index) => {
    const name = `${'ABCD'[Math.floor(index / chartColumns)]}${(index % chartColumns) + 1}`;
    return `${name},${paintXyz(paint)
      .map((value) => value.toFixed(3))
      .join(',')}`;
  });
  return `# illuminant: D65\nid,X,Y,Z\n${rows.join('\n')}\n`;
}
