import { gaussian } from './lamps.ts';
import { onGrid } from './wavelengths.ts';

/** Spectral sensitivities of a camera's red, green and blue pixels on the common grid; each on a free scale. */
export interface Sensitivities {
  readonly red: Float64Array;
  readonly green: Float64Array;
  readonly blue: Float64Array;
}

export interface SensitivityBand {
  readonly peakNm: number;
  /** Full width at half height, nm. */
  readonly widthNm: number;
}

/** Parametric camera: a Gaussian a channel, a share of the neighbour's light, and the infrared filter's edge. */
export interface CameraShape {
  readonly red: SensitivityBand;
  readonly green: SensitivityBand;
  readonly blue: SensitivityBand;
  /** Share of a broad 380-730 nm leak in every channel, 0..0.2. */
  readonly leak: number;
  /** Wavelength where the infrared filter passes half, nm. */
  readonly infraredCutNm: number;
}

/** Sensitivities of a parametric camera. Edge steepness 8 nm: chosen. */
export function cameraSensitivities(shape: CameraShape): Sensitivities {
  const channel = ({ peakNm, widthNm }: SensitivityBand): Float64Array =>
    onGrid(
      (nm) =>
        (gaussian(nm, peakNm, widthNm) + shape.leak * gaussian(nm, 540, 220)) /
        (1 + Math.exp((nm - shape.infraredCutNm) / 8)),
    );
  return { red: channel(shape.red), green: channel(shape.green), blue: channel(shape.blue) };
}

/** Three cameras with different filters; peaks and widths lie in the range usual for colour filter arrays (chosen). */
export const cameraShapes = {
  standard: {
    red: { peakNm: 602, widthNm: 84 },
    green: { peakNm: 534, widthNm: 96 },
    blue: { peakNm: 462, widthNm: 74 },
    leak: 0.02,
    infraredCutNm: 672,
  },
  narrow: {
    red: { peakNm: 612, widthNm: 66 },
    green: { peakNm: 530, widthNm: 78 },
    blue: { peakNm: 456, widthNm: 60 },
    leak: 0.01,
    infraredCutNm: 660,
  },
  broad: {
    red: { peakNm: 592, widthNm: 104 },
    green: { peakNm: 540, widthNm: 118 },
    blue: { peakNm: 468, widthNm: 92 },
    leak: 0.05,
    infraredCutNm: 684,
  },
} as const satisfies Record<string, CameraShape>;
