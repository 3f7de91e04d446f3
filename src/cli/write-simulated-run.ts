import { readdirSync, readFileSync } from 'node:fs';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { Document, isSeq } from 'yaml';
import { writeFolderAtomically, type OutputFile } from '../files/index.ts';
import { targetFolder } from '../files/target-folder.ts';
import { encodeJpeg, encodePng, encodeVideo } from '../frames/index.ts';
import type { RgbImage } from '../model/frame.ts';
import {
  exampleRun,
  type ExampleRun,
  frameTimes,
  simulateFrames,
  truthOf,
  type Scenario,
  type Truth,
} from '../simulate/index.ts';
import { onOneLine } from './on-one-line.ts';

/** Told after every frame, for a progress line. */
export type FrameProgress = (done: number, all: number) => void;

const owned = ['run.yaml', 'rig.json', 'chart.csv', 'truth.json', 'film.mp4', 'stills'];

/**
 * Makes a scenario's run folder: run.yaml, rig.json, truth.json and `film.mp4` or `stills/`. An existing folder is
 * replaced only if it holds a simulated run; what the user added to it (reports) stays.
 * Frames are streamed: they are encoded one by one beside the target and moved in when all are there.
 * @throws UserError for a folder that is not ours, MachineError when ffmpeg or the disk fails.
 */
export async function writeSimulatedRun(
  scenario: Scenario,
  folder: string,
  options: {
    readonly comment: string;
    /** The bench file that the run was planned with, to be named in run.yaml. */
    readonly planFile?: string | null;
    readonly onFrame?: FrameProgress;
  },
): Promise<{ readonly runFile: string; readonly truth: Truth }> {
  const truth = truthOf(scenario);
  const {
    run: plain,
    rig,
    chartTable,
  } = exampleRun(scenario, {
    source: scenario.media.kind === 'h264' ? 'film.mp4' : 'stills',
    rig: 'rig.json',
  });
  const run = withPlan(plain, options.planFile ?? null, folder);
  const media = await mkdtemp(path.join(os.tmpdir(), 'vialapse-media-'));
  try {
    // Refused before minutes of drawing, not after.
    await targetFolder(folder, holdsTruth);
    await writeMedia(scenario, media, options.onFrame);
    await writeFolderAtomically(folder, runFiles(media, { run, rig, chartTable }, truth, options.comment), {
      isOurs: holdsTruth,
      owned,
    });
  } finally {
    await rm(media, { recursive: true, force: true });
  }
  return { runFile: path.join(folder, 'run.yaml'), truth };
}

/** `plan` before the vials, as people write it, relative to the run file. */
function withPlan(run: ExampleRun['run'], planFile: string | null, folder: string): ExampleRun['run'] {
  if (planFile === null) return run;
  const { vials, ...rest } = run;
  return { ...rest, plan: path.relative(folder, planFile).split(path.sep).join('/'), vials };
}

async function writeMedia(scenario: Scenario, folder: string, onFrame?: FrameProgress): Promise<void> {
  const { media, frame } = scenario;
  if (media.kind === 'h264') {
    await encodeVideo(
      { file: path.join(folder, 'film.mp4'), ...frame, framesPerSecond: media.framesPerSecond, crf: media.crf },
      counted(scenario, onFrame),
    );
    return;
  }
  const stills = path.join(folder, 'stills');
  await mkdir(stills);
  const times = frameTimes(scenario);
  let index = 0;
  for (const image of counted(scenario, onFrame)) {
    const name = `still-${String(index + 1).padStart(5, '0')}.${media.kind === 'jpeg' ? 'jpg' : 'png'}`;
    await writeFile(path.join(stills, name), await encodeStill(image, scenario, times[index]!));
    index += 1;
  }
}

function* counted(scenario: Scenario, onFrame?: FrameProgress): Generator<RgbImage> {
  let done = 0;
  for (const image of simulateFrames(scenario)) {
    yield image;
    done += 1;
    onFrame?.(done, scenario.frameCount);
  }
}

async function encodeStill(image: RgbImage, { media }: Scenario, runS: number): Promise<Uint8Array> {
  if (media.kind === 'png') return encodePng(image);
  // Read as UTC only to add seconds: EXIF has no zone here, and a local zone could bring a jump of an hour.
  const moment = new Date(Date.parse(`${media.startedAt}Z`) + Math.round(runS * 1000)).toISOString();
  return encodeJpeg(image, {
    quality: media.quality,
    exif: {
      dateTimeOriginal: moment.slice(0, 19).replaceAll('-', ':').replace('T', ' '),
      subSec: moment.slice(20, 23),
      exposureTimeS: 1 / 60,
      whiteBalance: 'manual',
      exposureMode: 'manual',
    },
  });
}

/** The folder's files in the order of writing; each medium is read only when its turn comes. */
function* runFiles(
  media: string,
  { run, rig, chartTable }: ExampleRun,
  truth: Truth,
  comment: string,
): Generator<OutputFile> {
  const document = new Document(run);
  document.commentBefore = comment
    .split('\n')
    .map((line) => ` ${line}`)
    .join('\n');
  for (const key of [['timing'], ['dose', 'reagent']]) onOneLine(document.getIn(key, true));
  const vials = document.get('vials', true);
  if (isSeq(vials)) vials.items.forEach(onOneLine);
  yield { path: 'run.yaml', content: document.toString({ lineWidth: 0 }) };
  yield { path: 'rig.json', content: `${JSON.stringify(rig, null, 2)}\n` };
  if (chartTable !== null) yield { path: 'chart.csv', content: chartTable };
  yield { path: 'truth.json', content: `${JSON.stringify(truth)}\n` };
  const names = readdirSync(media, { recursive: true, withFileTypes: true });
  for (const entry of names.filter((found) => found.isFile())) {
    const file = path.join(entry.parentPath, entry.name);
    yield { path: path.relative(media, file).split(path.sep).join('/'), content: readFileSync(file) };
  }
}

async function holdsTruth(folder: string): Promise<boolean> {
  const text = await readFile(path.join(folder, 'truth.json'), 'utf8').catch(() => '');
  return text.startsWith('{"schema":"vialapse/truth@1"');
}
