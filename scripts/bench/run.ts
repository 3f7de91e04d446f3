/**
 * `npm run bench [-- --frames 1440 --regions 6,24,96 --only 1080p --keep DIR]`: the whole `analyse` against the bare
 * decode of the same file, paired (one after the other, the median of three pairs), and against the script a chemist
 * would write. Writes reports/bench.md.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir, totalmem } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { ffmpegVersion, findFfmpeg } from '../../src/frames/index.ts';
import { formats, makeRun, type Format } from './make-media.ts';
import { measureProcess } from './measure-process.ts';

const { values } = parseArgs({
  options: {
    frames: { type: 'string', default: '1440' },
    regions: { type: 'string', default: '6,24,96' },
    pairs: { type: 'string', default: '3' },
    only: { type: 'string', default: '' },
    out: { type: 'string', default: path.resolve(import.meta.dirname, '..', '..', 'reports', 'bench.md') },
  },
});
const frames = Number(values.frames);
const program = path.resolve(import.meta.dirname, '..', '..', 'bin', 'vialapse');
const ffmpeg = await findFfmpeg(null);
const folder = mkdtempSync(path.join(tmpdir(), 'vialapse-bench-'));
const python = hasOpenCv();
const median = (all: readonly number[]): number => [...all].sort((a, b) => a - b)[all.length >> 1]!;

function hasOpenCv(): boolean {
  return spawnSync('python3', ['-c', 'import cv2, numpy'], { stdio: 'ignore' }).status === 0;
}

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

async function row(format: Format, regions: number): Promise<string> {
  const own = path.join(folder, 'run');
  // Fewer of the large pictures: what is compared is a ratio.
  const count = format.codec === 'jpeg' ? Math.min(frames, 120) : frames;
  const { run, source } = await makeRun(own, format, count, regions);
  const pairs: { bare: number; whole: number; peak: number | null; script: number | null }[] = [];
  for (let pair = 0; pair < Number(values.pairs); pair += 1) {
    const bare = await bareDecodeS(format, source);
    const out = path.join(own, `out-${pair}`, 'bench');
    const whole = await measureProcess(process.execPath, [program, 'analyse', run, '--out', out]);
    if (whole.code !== 0 && whole.code !== 3) throw new Error(whole.stderr);
    const script = python
      ? await measureProcess('python3', [
          path.join(import.meta.dirname, 'opencv.py'),
          source,
          path.join(own, 'rig.json'),
        ])
      : null;
    pairs.push({ bare, whole: whole.wallS, peak: whole.peakTreeMb, script: script?.wallS ?? null });
  }
  rmSync(own, { recursive: true, force: true });
  const bare = median(pairs.map((pair) => pair.bare));
  const whole = median(pairs.map((pair) => pair.whole));
  const ratio = median(pairs.map((pair) => pair.whole / pair.bare));
  const peaks = pairs.flatMap(({ peak }) => (peak === null ? [] : [peak]));
  const scripts = pairs.flatMap((pair) => (pair.script === null ? [] : [pair.script / pair.whole]));
  const cells = [
    ...[format.name, String(count), String(regions), bare.toFixed(1), whole.toFixed(1), ratio.toFixed(2)],
    ...[(whole - bare).toFixed(1), (count / whole).toFixed(0)],
    peaks.length === 0 ? 'not known' : Math.max(...peaks).toFixed(0),
    scripts.length === 0 ? 'skipped' : median(scripts).toFixed(1),
  ];
  return `| ${cells.join(' | ')} |`;
}

const chosen = formats.filter(({ name }) => name.includes(values.only));
if (chosen.length === 0)
  throw new Error(`--only ${values.only}: no source of ${formats.map(({ name }) => name).join(', ')}`);
const loadBefore = loadavg()[0]!;

const lines: string[] = [];
try {
  for (const format of chosen) {
    for (const regions of values.regions.split(',').map(Number)) {
      const line = await row(format, regions);
      process.stderr.write(`${line}\n`);
      lines.push(line);
    }
  }
  const helps: number[] = [];
  for (let time = 0; time < 5; time += 1) {
    helps.push((await measureProcess(process.execPath, [program, '--help'])).wallS * 1000);
  }
  const text = `# Speed

Wall time of the whole \`analyse\` (reading, fits and report included, nothing kept from before) over the bare decode of the
same file (\`ffmpeg -i X -f null -\` with its default threads; pictures: each decoded whole), paired; medians of ${values.pairs} pairs.
Every frame has fresh noise. Memory: largest resident sum of Node and its decoders, looked at every 50 ms.
"Script": Python with OpenCV and NumPy over this tool, in times; ${python ? 'measured here' : 'skipped, OpenCV is not installed here'}.

Machine: ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}, ${(totalmem() / 2 ** 30).toFixed(0)} GB; Node ${process.version}; ${await ffmpegVersion(ffmpeg)}.
Load of the machine (one minute) before the first run: ${loadBefore.toFixed(1)}; what else ran then makes times longer.

| source | frames | regions | bare s | analyse s | ratio | extra s | frames/s | memory MB | script |
|---|---|---|---|---|---|---|---|---|---|
${lines.join('\n')}

\`vialapse --help\`: ${median(helps).toFixed(0)} ms (median of 5).
`;
  mkdirSync(path.dirname(values.out), { recursive: true });
  writeFileSync(values.out, text);
  process.stderr.write(`${values.out}\n`);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
