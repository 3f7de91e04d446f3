import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { Random } from '../../src/numeric/random.ts';

/**
 * A second, independent physics for tests of the colour path: other spectra, lamps, sensitivities and matrices than the
 * analysis assumes. Nothing here is shared with src/. All numbers are invented ranges around published values
 * (fixtures/README.md), wide enough to hold real cameras and solutions.
 */
export interface Physics {
  readonly name: string;
  /** Camera-encoded linear sRGB (before clipping) for an extent, brightness and path factor. */
  colour(extent: number, brightness: number, pathFactor: number): [number, number, number];
}

const grid = Array.from({ length: 67 }, (_, index) => 390 + 5 * index);
const gauss = (nm: number, centre: number, width: number): number => Math.exp(-0.5 * ((nm - centre) / width) ** 2);

const cie = readFileSync(path.resolve(import.meta.dirname, '../../fixtures/cie/cie1931_2deg_5nm.csv'), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(',').map(Number));
const cmf = grid.map((nm) => cie.find((row) => row[0] === nm)!.slice(1) as [number, number, number]);
// IEC 61966-2-1 XYZ (D65) to linear sRGB.
const fromXyz = [
  [3.2406, -1.5372, -0.4986],
  [-0.9689, 1.8758, 0.0415],
  [0.0557, -0.204, 1.057],
];

function drawLamp(random: Random): { name: string; power: number[] } {
  const choice = random.integer(4);
  const planck = (kelvin: number): number[] =>
    grid.map((nm) => 1e17 / (nm ** 5 * (Math.exp(1.4388e7 / (nm * kelvin)) - 1)));
  const normal = (power: number[]): number[] => power.map((value) => value / Math.max(...power));
  if (choice === 0) return { name: 'tungsten', power: normal(planck(2700 + 500 * random.uniform())) };
  if (choice === 1) return { name: 'daylight', power: normal(planck(5000 + 2500 * random.uniform())) };
  const warm = choice === 2;
  const blue = warm ? 0.4 + 0.3 * random.uniform() : 0.9 + 0.4 * random.uniform();
  const peak = warm ? 590 + 20 * random.uniform() : 545 + 20 * random.uniform();
  const width = 50 + 18 * random.uniform();
  const pump = 446 + 12 * random.uniform();
  return {
    name: warm ? 'warm led' : 'cool led',
    power: grid.map((nm) => blue * gauss(nm, pump, 11) + gauss(nm, peak, nm > peak ? width * 1.2 : width * 0.85)),
  };
}

function drawSensitivities(random: Random): number[][] {
  const spread = (centre: number, half: number): number => centre + half * (2 * random.uniform() - 1);
  const red = { peak: spread(598, 12), left: spread(26, 6), right: spread(36, 8) };
  const green = { peak: spread(535, 10), left: spread(36, 7), right: spread(38, 7) };
  const blue = { peak: spread(458, 10), left: spread(26, 6), right: spread(32, 6) };
  const lobe = 0.08 * random.uniform();
  const side = (nm: number, band: typeof red): number => gauss(nm, band.peak, nm < band.peak ? band.left : band.right);
  const cut = spread(655, 20);
  return [red, green, blue].map((band, channel) =>
    grid.map(
      (nm) => (side(nm, band) + (channel === 0 ? lobe * gauss(nm, 450, 25) : 0.03)) / (1 + Math.exp((nm - cut) / 8)),
    ),
  );
}

/** Least-squares white-preserving matrix from camera channels to sRGB on random smooth reflectances. */
function balanceMatrix(raw: number[][], target: number[][], random: Random): number[][] {
  const samples = Array.from({ length: 60 }, () => {
    const centre = 400 + 300 * random.uniform();
    const width = 25 + 70 * random.uniform();
    const sign = random.uniform() < 0.5 ? 1 : -1;
    const base = sign > 0 ? 0.1 * random.uniform() : 0.7 + 0.25 * random.uniform();
    return grid.map((nm) => Math.max(0.02, base + sign * 0.65 * gauss(nm, centre, width)));
  });
  const response = (weights: number[], reflectance: number[]): number =>
    reflectance.reduce((sum, value, index) => sum + value * weights[index]!, 0);
  return [0, 1, 2].map((row) => {
    // row sums to one: fit on differences from the third channel
    let a = 0,
      b = 0,
      c = 0,
      d = 0,
      e = 0;
    for (const sample of samples) {
      const [r, g, bl] = raw.map((weights) => response(weights, sample)) as [number, number, number];
      const y = response(target[row]!, sample) - bl;
      const u = r - bl;
      const v = g - bl;
      a += u * u;
      b += u * v;
      c += v * v;
      d += u * y;
      e += v * y;
    }
    const determinant = a * c - b * b;
    const first = (d * c - b * e) / determinant;
    const second = (a * e - b * d) / determinant;
    return [first, second, 1 - first - second];
  });
}

export function drawPhysics(random: Random): Physics {
  const lamp = drawLamp(random);
  const unit = (weights: number[]): number[] => {
    const sum = weights.reduce((total, value) => total + value, 0);
    return weights.map((value) => value / sum);
  };
  const spread = (centre: number, half: number): number => centre + half * (2 * random.uniform() - 1);
  const ideal = fromXyz.map((row) =>
    unit(cmf.map((xyz, index) => lamp.power[index]! * (row[0]! * xyz[0] + row[1]! * xyz[1] + row[2]! * xyz[2]))),
  );
  const isIdeal = random.uniform() < 0.2;
  const raw = isIdeal
    ? ideal
    : drawSensitivities(random).map((band) => unit(band.map((value, index) => value * lamp.power[index]!)));
  const exact = isIdeal
    ? [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ]
    : balanceMatrix(raw, ideal, random);
  // cameras do not carry the optimal matrix: blend towards the identity and add a little
  const blend = isIdeal ? 0 : 0.35 * random.uniform();
  const matrix = exact.map((row, index) => {
    const mixed = row.map((value, column) => value * (1 - blend) + (index === column ? blend : 0));
    const shift = 0.03 * random.normal();
    mixed[(index + 1) % 3]! += shift;
    mixed[index]! -= shift;
    return mixed;
  });
  // a shoulder of 185 near 440 nm that leaves about 5.5 at 545 nm (published: 369 and 11 per Cr2O7), and a faint tail
  const shoulder = { height: spread(185, 30), centre: spread(440, 6), width: spread(39, 3) };
  const faint = spread(0.5, 0.5);
  const six = grid.map(
    (nm) =>
      1576 * gauss(nm, 352, 27) +
      shoulder.height * gauss(nm, shoulder.centre, shoulder.width) +
      faint * Math.exp(-Math.max(0, nm - 545) / 30),
  );
  const long = { centre: spread(582, 10), width: spread(40, 5), height: spread(14.5, 2.5) };
  const short = { centre: spread(415, 9), width: spread(33, 4), height: spread(17, 3) };
  const three = grid.map(
    (nm) => long.height * gauss(nm, long.centre, long.width) + short.height * gauss(nm, short.centre, short.width),
  );
  const amount = 0.062 * spread(1, 0.3);
  const flare = 0.02 * random.uniform();
  const exposure = spread(0.75, 0.2);
  const round = 0.06 * random.uniform();
  return {
    name: `${lamp.name}${isIdeal ? ', ideal camera' : ''}, ${amount.toFixed(3)} mol/L cm`,
    colour(extent, brightness, pathFactor) {
      const sums = [0, 0, 0];
      for (let index = 0; index < grid.length; index += 1) {
        let transmitted = 0;
        for (const node of [1 - round, 1, 1 + round]) {
          const absorbance = amount * pathFactor * node * ((1 - extent) * six[index]! + extent * three[index]!);
          transmitted += 10 ** -absorbance / 3;
        }
        for (let channel = 0; channel < 3; channel += 1) sums[channel]! += raw[channel]![index]! * transmitted;
      }
      return matrix.map(
        (row) => exposure * brightness * (flare + row[0]! * sums[0]! + row[1]! * sums[1]! + row[2]! * sums[2]!),
      ) as [number, number, number];
    },
  };
}
