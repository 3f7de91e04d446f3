import path from 'node:path';
import { loadReaction, loadRun, shownPath, writeFileAtomically } from '../files/index.ts';
import { encodeJpeg } from '../frames/index.ts';
import type { SourceInfo } from '../model/frame.ts';
import type { Run } from '../model/run.ts';
import { formatDuration } from '../report/duration.ts';
import { drawPng } from './draw-png.ts';
import { doubtsOf } from './preview-doubts.ts';
import { glanceAt } from './preview-glance.ts';
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
  const baseDir = path.dirname(run.file);
  const line = new StageLine();
  const glance = await glanceAt(run, baseDir, (done) => line.show({ stage: 'looking', done, total: null })).finally(
    () => line.clear(),
  );
  const photo = Buffer.from(await encodeJpeg(glance.still, { quality: 88 })).toString('base64');
  const out = options.out ?? path.join(baseDir, `${run.name}-preview.png`);
  await writeFileAtomically(out, drawPng(previewSvg(run, photo)));
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
  ];
  process.stderr.write(`${printable(lines.join('\n'))}\n`);
  if (options.json === true) {
    const found = {
      name: run.name,
      picture: shownPath(out),
      source: glance.info,
      frames_looked_at: glance.framesLookedAt,
      doubts,
    };
    process.stdout.write(`${JSON.stringify(found)}\n`);
  }
}

function sourceWords(run: Run, info: SourceInfo): string {
  const frames = info.frameCount === null ? '' : `${info.frameCount} frames, `;
  const duration = info.durationS === null ? '' : `, ${formatDuration(info.durationS)}`;
  return `${run.name}: ${info.kind}, ${frames}${info.width} x ${info.height}, ${info.codec}, ${info.bitDepth} bit${duration}`;
}
