import { Resvg } from '@resvg/resvg-js';
import { chartFonts } from './chart-fonts.ts';

/** Draws an SVG, a pixel a unit, with the font that comes along, so that letters are the same on every machine. */
export function drawPng(svg: string): Uint8Array {
  const drawing = new Resvg(svg, {
    font: {
      loadSystemFonts: false,
      fontFiles: [chartFonts.plain, chartFonts.bold],
      defaultFontFamily: chartFonts.family,
    },
  });
  return drawing.render().asPng();
}
