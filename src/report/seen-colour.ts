import { converter, formatHex } from 'culori';
import type { RegionColours } from '../model/measurement.ts';

const oklab = converter('oklab');
const srgb = converter('rgb');
type Rgb = readonly [number, number, number];

/** Stands for a colour that was not measured: a middle grey. */
export const unseen = '#808080';

/** Display colour (sRGB, `#rrggbb`) of linear light; values outside the screen's range are cut to it. */
export function hexOfLinear([r, g, b]: Rgb): string {
  const cut = (value: number): number => Math.min(1, Math.max(0, value));
  return formatHex({ mode: 'lrgb', r: cut(r), g: cut(g), b: cut(b) });
}

/** Display colour of OKLCh, hue in degrees (`null`: no hue, grey). */
export function hexOfOklch(lightness: number, chroma: number, hueDeg: number | null): string {
  const { r, g, b } = srgb({ mode: 'oklch', l: lightness, c: hueDeg === null ? 0 : chroma, h: hueDeg ?? 0 });
  return formatHex({ mode: 'rgb', r, g, b });
}

/** OKLab a and b of linear light. */
export function oklabOfLinear([r, g, b]: Rgb): readonly [a: number, b: number] {
  const colour = oklab({ mode: 'lrgb', r, g, b });
  return [colour.a, colour.b];
}

/** Linear RGB of a region in one frame (index into the used frames); `null` where a channel is unknown. */
export function linearAt(colours: RegionColours, frame: number): Rgb | null {
  const red = colours.red[frame] ?? null;
  const green = colours.green[frame] ?? null;
  const blue = colours.blue[frame] ?? null;
  return red === null || green === null || blue === null ? null : [red, green, blue];
}
