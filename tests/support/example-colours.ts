import { converter, formatHex } from 'culori';

const oklch = converter('oklch');
/** Linear RGB of fresh and of spent reagent, roughly as modelled for bench concentrations; chosen for the pictures. */
const fresh = [0.72, 0.26, 0.006] as const;
const spent = [0.075, 0.2, 0.13] as const;

/** Colour at an extent: absorbances add, so each channel goes geometrically from fresh to spent. */
export function exampleLinearRgb(extent: number): readonly [number, number, number] {
  const channel = (index: 0 | 1 | 2): number => fresh[index] ** (1 - extent) * spent[index] ** extent;
  return [channel(0), channel(1), channel(2)];
}

const asLrgb = ([r, g, b]: readonly [number, number, number]) => ({ mode: 'lrgb', r, g, b }) as const;

export function exampleSrgb(extent: number): string {
  return formatHex(asLrgb(exampleLinearRgb(extent)));
}

export function exampleLightness(extent: number): { lightness: number; chroma: number; hueDeg: number } {
  const colour = oklch(asLrgb(exampleLinearRgb(extent)));
  return { lightness: colour.l, chroma: colour.c, hueDeg: colour.h ?? 0 };
}
