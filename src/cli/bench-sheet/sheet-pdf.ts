import PDFDocument from 'pdfkit';
import { cautions, cameraChecklist, wasteNote } from '../../plan/cautions.ts';
import type { Plan } from '../../plan/plan.ts';
import { chartFonts } from '../chart-fonts.ts';
import { dosingTitle, recipeLine, roleMarks, sheetFacts } from './sheet-words.ts';

type Pdf = InstanceType<typeof PDFDocument>;
const page = { left: 26, right: 569, top: 24, bottom: 818 } as const;
const width = page.right - page.left;

/** The bench sheet as a PDF of one A4 page; type shrinks until all of it fits. Same input, same bytes. */
export async function sheetPdf(plan: Plan): Promise<Uint8Array> {
  // Tried on a page that is thrown away, since a PDF once written cannot be taken back.
  let size = 10.4;
  while (size > 4.5 && draw(plan, size, newDocument(plan)) > page.bottom) size -= 0.3;
  const document = newDocument(plan);
  const chunks: Uint8Array[] = [];
  document.on('data', (chunk: Uint8Array) => chunks.push(chunk));
  const done = new Promise<void>((resolve, reject) => {
    document.on('end', resolve);
    document.on('error', reject);
  });
  draw(plan, size, document);
  document.end();
  await done;
  return Buffer.concat(chunks);
}

function newDocument(plan: Plan): Pdf {
  const document = new PDFDocument({
    size: 'A4',
    margin: 0,
    info: { Title: `Bench sheet: ${plan.name}`, CreationDate: new Date(0) },
  });
  document.registerFont('plain', chartFonts.plain);
  document.registerFont('bold', chartFonts.bold);
  return document;
}

/** Draws everything; the height reached. */
function draw(plan: Plan, size: number, document: Pdf): number {
  const text = (words: string, x: number, y: number, wide: number, font = 'plain', points = size): number => {
    document.font(font).fontSize(points).text(words, x, y, { width: wide, height: 2000, lineGap: 0.2 });
    return y + document.heightOfString(words, { width: wide, lineGap: 0.2 });
  };
  const heading = (words: string, x: number, y: number, wide: number): number => {
    const below = text(words, x, y + 4, wide, 'bold') + 1;
    document
      .moveTo(x, below)
      .lineTo(x + wide, below)
      .lineWidth(0.6)
      .stroke();
    return below + 1.5;
  };
  const lines = (all: readonly string[], x: number, y: number, wide: number, mark = ''): number =>
    all.reduce((at, line) => text(`${mark}${line}`, x, at, wide) + 0.8, y);

  let y = text(plan.name, page.left, page.top, width, 'bold', size * 1.6);
  y = text(sheetFacts(plan), page.left, y + 1, width);
  y = text(recipeLine(plan), page.left, y + 1, width);
  y = heading('Rack as the camera sees it (code, place, what it is)', page.left, y, width);
  y = rack(plan, size, document, y);
  y = text(roleMarks, page.left, y + 1, width);
  y = heading(dosingTitle(plan), page.left, y, width);
  y = pipetting(plan, size, document, y);
  const half = (width - 14) / 2;
  const right = page.left + half + 14;
  y = Math.max(
    lines(plan.working, page.left, heading('Working', page.left, y, half), half),
    lines(plan.outlook, right, heading('What this run can show', right, y, half), half),
  );
  if (plan.sheetWarnings.length > 0) {
    y = lines(plan.sheetWarnings, page.left, heading('Mind', page.left, y, width), width, '• ');
  }
  const checks = [...cameraChecklist, `Storage: ${plan.storage}`];
  return Math.max(
    lines([...cautions, wasteNote], page.left, heading('Cautions', page.left, y, half), half, '• '),
    lines(checks, right, heading('Camera', right, y, half), half, '☐ '),
  );
}

function rack(plan: Plan, size: number, document: Pdf, top: number): number {
  const cell = width / plan.rack.columns;
  const high = size * 4.2;
  for (let row = 0; row < plan.rack.rows; row += 1) {
    for (let column = 0; column < plan.rack.columns; column += 1) {
      const x = page.left + column * cell;
      const y = top + row * high;
      document.rect(x, y, cell, high).lineWidth(0.5).stroke();
      const vial = plan.vials.find((one) => one.row === row && one.column === column);
      if (vial === undefined) continue;
      const { role } = plan.materials[vial.material]!.material;
      const small = size * 0.84;
      const inside = { width: cell - 4, lineBreak: false, ellipsis: true } as const;
      document
        .font('bold')
        .fontSize(size * 1.25)
        .text(vial.code, x + 2, y + 1.5, inside);
      const place = role === 'sample' ? vial.region : `${vial.region} ${role.slice(0, 3)}`;
      document
        .font('plain')
        .fontSize(small)
        .text(place, x + 2, y + 2.5, { ...inside, align: 'right' });
      document.text(vial.shown, x + 2, y + size * 1.7, { width: cell - 4, height: small * 2.4, ellipsis: true });
    }
  }
  return top + plan.rack.rows * high;
}

function pipetting({ vials }: Plan, type: number, document: Pdf, top: number): number {
  // A little smaller than the text, so that names have room.
  const size = 0.9 * type;
  const half = (width - 14) / 2;
  const middle = Math.ceil(vials.length / 2);
  const step = size * 1.42;
  const columns = [0, 3.4, 6.2, half / size - 14.4, half / size - 4.7].map((at) => at * size);
  const header = ['vial', 'in', 'what', 'sample', 'time'];
  for (const [side, some] of [vials.slice(0, middle), vials.slice(middle)].entries()) {
    const left = page.left + side * (half + 14);
    const rows = some.map((vial) => [`☐ ${vial.code}`, vial.region, vial.shown, vial.pipetting, clock(vial.addedRunS)]);
    [header, ...rows].forEach((row, index) => {
      const y = top + index * step;
      row.forEach((words, at) => {
        const wide = (columns[at + 1] ?? half) - columns[at]! - 3;
        document
          .font(index === 0 || at === 0 ? 'bold' : 'plain')
          .fontSize(size)
          .text(words, left + columns[at]!, y, { width: wide, height: size * 1.3, ellipsis: true });
      });
      document
        .moveTo(left, y + step - 1.2)
        .lineTo(left + half, y + step - 1.2)
        .lineWidth(0.2)
        .stroke();
    });
  }
  return top + (middle + 1) * step;
}

/** Minutes and seconds on the run's clock. */
const clock = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.round(seconds % 60)).padStart(2, '0')}`;
