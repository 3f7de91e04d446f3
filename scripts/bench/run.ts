/**
 * `npm run bench [-- --frames 240 (or 4k-24=180,jpeg-12=16) --regions 6,24,96 --only 1080p-20 --pairs 3 --out FILE]`: pixels to colours and the whole
 * `analyse` against the bare decode of the same file, paired (one after the other), and against the script a chemist
 * would write. Media are made once and kept in a temporary folder. Writes reports/bench.md.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { ffmpegVersion, findFfmpeg } from '../../src/frames/index.ts';
import { mediaOf, writeRun } from './make-media.ts';
import { measureProcess } from './measure-process.ts';
import { formats, type Format } from './media-formats.ts';
import { reportText, type Pair, type Row } from './report-text.ts';

const root = path.resolve(import.meta.dirname, '..', '..');
const { values } = parseArgs({
  options: {
    frames: { type: 'string', default: '' },
    regions: { type: 'string', default: '' },
    pairs: { type: 'string', default: '3' },
    only: { type: 'string', default: '' },
    python: { type: 'string', default: 'python3' },
    out: { type: 'string', default: path.join(root, 'reports', 'bench.md') },
  },
});
const program = path.join(root, 'bin', 'vialapse');
const media = path.join(tmpdir(), 'vialapse-bench-media');
const ffmpeg = await findFfmpeg(null);
const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-bench-'));
const python = spawnSync(values.python, ['-c', 'import cv2, numpy'], { stdio: 'ignore' }).status === 0;

/** The bare decode, default threads; pictures are decoded whole, one after another, by the library that reads them. */
async function bareDecodeS(format: Format, source: string): Promise<number> {
  if (format.codec !== 'jpeg') {
    const done = await measureProcess(ffmpeg, ['-v', 'error', '-nostdin', '-i', source, '-f', 'null', '-']);
    if (done.code !== 0) throw new Error(done.stderr);
    return done.wallS;
  }
  const started = performance.now();
  for (const name of readdirSync(source)) await sharp(path.join(source, name)).raw().toBuffer();
  return (performance.now() - started) / 1000;
}

async function onePair(format: Format, source: string, run: string): Promise<Pair> {
  const load = loadavg()[0]!;
  const bareS = await bareDecodeS(format, source);
  const stages = spawnSync(process.execPath, ['--import', 'tsx', path.join(import.meta.dirname, 'stages.ts'), run], {
    encoding: 'utf8',
    cwd: root,
  });
  const steps = JSON.parse(stages.stdout) as { spent: Record<string, { wallS: number }> };
  const out = path.join(folder, 'reports', 'bench');
  rmSync(path.dirname(out), { recursive: true, force: true });
  const whole = await measureProcess(process.execPath, [program, 'analyse', run, '--out', out]);
  if (whole.code !== 0 && whole.code !== 3) throw new Error(whole.stderr);
  const again = await measureProcess(process.execPath, [program, 'analyse', run, '--out', out]);
  const script = python
    ? await measureProcess(values.python, [
        path.join(import.meta.dirname, 'opencv.py'),
        source,
        path.join(path.dirname(run), 'rig.json'),
      ])
    : null;
  return {
    ...{ load, bareS, coloursS: steps.spent['readFrames']!.wallS, wholeS: whole.wallS, againS: again.wallS },
    ...{ nodeMb: whole.peakNodeMb, decoderMb: whole.peakOtherMb, treeMb: whole.peakTreeMb },
    scriptS: script?.wallS ?? null,
  };
}

const chosen = formats.filter(({ name }) => values.only === '' || values.only.split(',').includes(name));
if (chosen.length === 0)
  throw new Error(`--only ${values.only}: known are ${formats.map(({ name }) => name).join(', ')}`);
/** `--frames 240`, or for some only: `--frames 1080p-20=240,4k-24=180`. */
const asked = new Map(
  values.frames
    .split(',')
    .filter((part) => part !== '')
    .map((part): [string, string] => (part.includes('=') ? (part.split('=') as [string, string]) : ['', part])),
);
const rows: Row[] = [];
try {
  for (const format of chosen) {
    const most = Number(asked.get(format.name) ?? asked.get('') ?? format.frames);
    for (const regions of values.regions === '' ? format.regions : values.regions.split(',').map(Number)) {
      const frames = regions === 24 ? most : Math.min(most, format.framesOfOthers);
      const source = await mediaOf(media, format, frames, regions);
      const run = writeRun(path.join(folder, `${format.name}-${regions}`), source, format, regions);
      const pairs: Pair[] = [];
      for (let pair = 0; pair < Number(values.pairs); pair += 1) pairs.push(await onePair(format, source, run));
      rows.push({ format, frames, regions, pairs });
      process.stderr.write(`${JSON.stringify(rows.at(-1))}\n`);
    }
  }
  const helpMs: number[] = [];
  for (let time = 0; time < 10; time += 1) {
    helpMs.push((await measureProcess(process.execPath, [program, '--help'])).wallS * 1000);
  }
  const machine = `${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}, ${(totalmem() / 2 ** 30).toFixed(0)} GB; Node ${process.version}; ${await ffmpegVersion(ffmpeg)}`;
  mkdirSync(path.dirname(values.out), { recursive: true });
  writeFileSync(values.out, reportText(rows, { machine, helpMs, python }));
  process.stderr.write(`${values.out}\n`);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
