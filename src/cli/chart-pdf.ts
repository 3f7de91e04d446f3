import PDFDocument from 'pdfkit';
import svgToPdf from 'svg-to-pdfkit';
import { isolateStart } from '../report/isolate.ts';
import { chartFonts } from './chart-fonts.ts';
import { visualOrder } from './visual-order.ts';

const pointsPerMm = 72 / 25.4;

/** A chart as a one-page PDF of its own size, text kept as text; `madeAt` (ISO 8601) is the date written in. */
export async function chartPdf(svg: string, widthMm: number, title: string, madeAt: string): Promise<Uint8Array> {
  const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  const pageWidth = widthMm * pointsPerMm;
  const pageHeight = (pageWidth * Number(height)) / Number(width);
  const date = new Date(madeAt);
  const document = new PDFDocument({
    size: [pageWidth, pageHeight],
    margin: 0,
    info: { Title: title, CreationDate: Number.isNaN(date.getTime()) ? new Date(0) : date },
  });
  const chunks: Uint8Array[] = [];
  document.on('data', (chunk: Uint8Array) => chunks.push(chunk));
  const done = new Promise<void>((resolve, reject) => {
    document.on('end', resolve);
    document.on('error', reject);
  });
  document.registerFont('plain', chartFonts.plain);
  document.registerFont('bold', chartFonts.bold);
  svgToPdf(document, inVisualOrder(svg), 0, 0, {
    width: pageWidth,
    height: pageHeight,
    fontCallback: (_family, bold) => (bold ? 'bold' : 'plain'),
  });
  document.end();
  await done;
  return Buffer.concat(chunks);
}

/** A line is one text element; the marks of isolates stand in nothing else that is drawn. Its spaces are kept as they are set. */
function inVisualOrder(svg: string): string {
  return svg.replace(/<text([^>]*)>([^<]+)</gu, (whole, attributes: string, line: string) =>
    line.includes(isolateStart) ? `<text${attributes} xml:space="preserve">${visualOrder(line)}<` : whole,
  );
}
