import path from 'node:path';
import { formatDuration } from '../report/duration.ts';
import { escapeXml } from '../report/escape.ts';
import { type FrameInQuestion, pictureWidth } from './frames-in-question.ts';

/** Paper, ink and grey of the project's look; the only colours are the camera's. */
const ink = '#1c1c1c';
const grey = '#8a8a8a';
const paper = '#ffffff';
const columns = 3;
const margin = 16;
const text = 14;
const line = 19;
/** Letters of a caption's line at this size and width, and lines of a reason that are shown. */
const lineLetters = 44;
const reasonLines = 2;

/** Frames that would not be used, side by side in order of time, each with its reason. */
export function contactSheetSvg(name: string, frames: readonly FrameInQuestion[], all: number): string {
  const pictureHeight = Math.max(...frames.map(({ picture }) => picture?.height ?? 0), Math.round(pictureWidth / 2));
  const cell = { width: pictureWidth + margin, height: pictureHeight + margin + line * (1 + reasonLines) };
  const rows = Math.ceil(frames.length / columns);
  const width = margin + Math.min(columns, Math.max(2, frames.length)) * cell.width;
  const height = margin + line + margin + rows * cell.height;
  const title = `${name}: ${all === 1 ? 'one frame' : `${frames.length < all ? `${frames.length} of ` : ''}${all} frames`} that analyse would leave out`;
  const cells = frames.map((frame, at) => {
    const x = margin + (at % columns) * cell.width;
    const y = margin + line + margin + Math.floor(at / columns) * cell.height;
    return cellSvg(frame, x, y, pictureHeight);
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" ` +
    `viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="DejaVu Sans" font-size="${text}">` +
    `<rect width="${width}" height="${height}" fill="${paper}"/>` +
    `<text x="${margin}" y="${margin + text}" fill="${ink}" font-weight="bold">${escapeXml(title)}</text>` +
    `${cells.join('')}</svg>`
  );
}

function cellSvg(frame: FrameInQuestion, x: number, y: number, height: number): string {
  const { index, timeRunS, reason, picture, file } = frame;
  const shown =
    picture === null
      ? `<rect x="${x}" y="${y}" width="${pictureWidth}" height="${height}" fill="none" stroke="${grey}"/>` +
        `<text x="${x + pictureWidth / 2}" y="${y + height / 2}" text-anchor="middle" fill="${grey}">nothing to see</text>`
      : `<image x="${x}" y="${y}" width="${picture.width}" height="${picture.height}" xlink:href="data:image/jpeg;base64,${picture.jpegBase64}"/>`;
  const when = timeRunS === null ? '' : `, ${formatDuration(timeRunS)}`;
  const words = broken(file === null ? reason : `${path.posix.basename(file)}: ${reason}`).map(
    (part, at) => `<text x="${x}" y="${y + height + line * (2 + at)}" fill="${ink}">${escapeXml(part)}</text>`,
  );
  return (
    `${shown}<text x="${x}" y="${y + height + line}" fill="${ink}" font-weight="bold">frame ${index}${when}</text>` +
    words.join('')
  );
}

/** Words in lines of at most {@link lineLetters} letters; what does not fit ends with dots. */
function broken(words: string): readonly string[] {
  const lines: string[] = [''];
  for (const word of words.split(' ')) {
    const longer = lines.at(-1) === '' ? word : `${lines.at(-1)} ${word}`;
    if (longer.length <= lineLetters || lines.at(-1) === '') lines[lines.length - 1] = longer.slice(0, lineLetters);
    else lines.push(word.slice(0, lineLetters));
  }
  if (lines.length <= reasonLines) return lines;
  return [...lines.slice(0, reasonLines - 1), `${lines[reasonLines - 1]!.slice(0, lineLetters - 1)}…`];
}
