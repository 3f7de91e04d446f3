import { rm } from 'node:fs/promises';
import path from 'node:path';
import { loadChart, loadReaction, loadRun, shownPath, writeFileAtomically } from '../files/index.ts';
import { encodeJpeg } from '../frames/index.ts';
import type { SourceInfo } from '../model/frame.ts';
import type { Run } from '../model/run.ts';
import { formatDuration } from '../report/duration.ts';
import { contactSheetSvg } from './contact-sheet.ts';
import { drawPng } from './draw-png.ts';
import { doubtsOf } from './preview-doubts.ts';
import { glanceAt, type PreviewGlance } from './preview-glance.ts';
import { previewSvg } from './preview-picture.ts';
import { printable, wrapped } from './printable.ts';
import { StageLine } from './stage-progress.ts';

export interface PreviewOptions {
  readonly out?: string | undefined;
  readonly json?: boolean | undefined;
}

/** Reads everything that analyse would, writes the picture, tells what was found. */
export async function runPreview(file: string, options: PreviewOptions): Promise<void> {
  const run = await loadRun(file);
  await loadReaction(run.reaction.file);
  // Refused here as analyse would.
  if (run.rig.chart !== null) await loadChart(run.rig.chart);
  const baseDir = path.dirname(run.file);
  const line = new StageLine();
  const glance = await glanceAt(run, baseDir, (done) => line.show({ stage: 'looking', done, total: null })).finally(
    () => line.clear(),
  );
  const photo = Buffer.from(await encodeJpeg(glance.still, { quality: 88 })).toString('base64');
  const out = options.out ?? path.join(baseDir, `${run.name}-preview.png`);
  await writeFileAtomically(out, drawPng(previewSvg({ ...run, rig: glance.rig }, photo)));
  const sheet = await writeSheet(run, glance, out);
  const doubts = doubtsOf(run, glance);
  const lines = [
    sourceWords(run, glance.info),
    ...(doubts.length === 0
      ? ['Nothing doubtful was seen.']
      : doubts.map(
          ({ severity, message }) =>
            `  ${wrapped(`${severity === 'warn' ? 'doubtful: ' : 'note: '}${message}`, 78, '    ')}`,
        )),
    `Regions drawn: ${shownPath(out)}`,
    ...(sheet === null ? [] : [`Frames in question: ${shownPath(sheet)}`]),
  ];
  process.stderr.write(`${printable(lines.join('\n'))}\n`);
  if (options.json === true) {
    const found = {
      name: run.name,
      picture: shownPath(out),
      contact_sheet: sheet === null ? null : shownPath(sheet),
      source: glance.info,
      frames_looked_at: glance.framesLookedAt,
      frames_in_question: glance.inQuestion.map(({ index, timeRunS, file, reason }) => ({
        index,
        time_run_s: timeRunS,
        file,
        reason,
      })),
      doubts,
    };
    process.stdout.write(`${JSON.stringify(found)}\n`);
  }
}

/** The contact sheet beside the picture; under our own name, that of an earlier preview is taken away when there is nothing to show. */
async function writeSheet(run: Run, glance: PreviewGlance, picture: string): Promise<string | null> {
  const { dir, name } = path.parse(picture);
  const file = path.join(dir, `${name}-frames.png`);
  if (glance.pictured.length === 0) {
    if (name === `${run.name}-preview`) await rm(file, { force: true });
    return null;
  }
  await writeFileAtomically(file, drawPng(contactSheetSvg(run.name, glance.pictured, glance.inQuestion.length)));
  return file;
}

function sourceWords(run: Run, info: SourceInfo): string {
  const frames = info.frameCount === null ? '' : `${info.frameCount} ${info.frameCount === 1 ? 'frame' : 'frames'}, `;
  const duration = info.durationS === null ? '' : `, ${formatDuration(info.durationS)}`;
  return `${run.name}: ${info.kind}, ${frames}${info.width} x ${info.height}, ${info.codec}, ${info.bitDepth} bit${duration}`;
}
