import { crc32 } from 'node:zlib';
import { Resvg } from '@resvg/resvg-js';
import { chartFonts } from './chart-fonts.ts';

const dotsPerInch = 300;
const mmPerInch = 25.4;

/** A chart as PNG at 300 dots an inch, its size written in so that it is placed at its width in mm. */
export function chartPng(svg: string, widthMm: number): Uint8Array {
  const picture = new Resvg(svg, {
    font: {
      loadSystemFonts: false,
      fontFiles: [chartFonts.plain, chartFonts.bold],
      defaultFontFamily: chartFonts.family,
      sansSerifFamily: chartFonts.family,
    },
    fitTo: { mode: 'width', value: Math.round((widthMm / mmPerInch) * dotsPerInch) },
  });
  return withResolution(picture.render().asPng());
}

/** Puts a pHYs chunk (PNG specification, 11.3.4.3) behind the header, which always takes the first 33 bytes. */
function withResolution(png: Uint8Array): Uint8Array {
  const headerEnd = 33;
  const chunk = Buffer.alloc(21);
  chunk.writeUInt32BE(9, 0);
  chunk.write('pHYs', 4, 'latin1');
  const perMetre = Math.round((dotsPerInch / mmPerInch) * 1000);
  chunk.writeUInt32BE(perMetre, 8);
  chunk.writeUInt32BE(perMetre, 12);
  chunk.writeUInt8(1, 16);
  chunk.writeUInt32BE(crc32(chunk.subarray(4, 17)), 17);
  return Buffer.concat([png.subarray(0, headerEnd), chunk, png.subarray(headerEnd)]);
}
