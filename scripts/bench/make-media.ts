import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { encodeJpeg, findFfmpeg } from '../../src/frames/index.ts';
import type { Format } from './media-formats.ts';
import { card, mark, noiseTable, textured, vialBoxes, vialColour, wall, whiteBox, type Box } from './rack-scene.ts';

/**
 * The film or folder of pictures of a format, made at most once in `folder`. A rack of 24 vials, or of 96 where more
 * than 24 regions are asked for.
 */
export async function mediaOf(folder: string, format: Format, frames: number, regions: number): Promise<string> {
  const drawn = regions > 24 ? 96 : 24;
  const name = `${format.name}-${frames}-${drawn}${format.codec === 'jpeg' ? '' : '.mp4'}`;
  const file = path.join(folder, name);
  if (existsSync(file)) return file;
  mkdirSync(folder, { recursive: true });
  process.stderr.write(`making ${name}\n`);
  const aside = path.join(folder, `half-${name}`);
  rmSync(aside, { recursive: true, force: true });
  if (format.codec === 'jpeg') await makePictures(aside, format, frames, drawn);
  else await makeFilm(aside, format, frames, drawn);
  renameSync(aside, file);
  return file;
}

/** Writes rig and run file for a source; the run file. */
export function writeRun(folder: string, source: string, format: Format, regions: number): string {
  mkdirSync(folder, { recursive: true });
  const { width, height } = format;
  const boxes = vialBoxes(regions, format);
  const rig = {
    ...{ schema: 'vialapse/rig@1', name: 'bench', frame: { width, height } },
    regions: boxes.map((box, at) => ({ id: `V${at + 1}`, shape: 'rect', ...box })),
    white: [{ id: 'W', shape: 'rect', ...whiteBox(format) }],
  };
  writeFileSync(path.join(folder, 'rig.json'), JSON.stringify(rig));
  const roles = ['negative', 'positive', 'sample', 'sample'];
  const vials = boxes.map(
    (_, at) => `  - { region: V${at + 1}, label: vial ${at + 1}, role: ${roles[at % 4]!}, added_run_s: 0 }`,
  );
  const run = path.join(folder, 'run.yaml');
  const head = `schema: vialapse/run@1\nname: bench\nrig: rig.json\nsource: ${source}\n`;
  writeFileSync(
    run,
    `${head}timing: { interval_s: 20 }\nreaction: acid-dichromate\nread_at_s: 7200\nvials:\n${vials.join('\n')}\n`,
  );
  return run;
}

/** Draws straight into Y'CbCr planes (BT.709, limited range), several times quicker than by way of RGB. */
async function makeFilm(file: string, format: Format, frames: number, vials: number): Promise<void> {
  const deep = format.codec === 'hevc';
  const pixelFormat = deep ? 'yuv420p10le' : 'yuv420p';
  const size = `${format.width}x${format.height}`;
  const coder = deep
    ? ['-c:v', 'libx265', '-tag:v', 'hvc1', '-x265-params', 'log-level=error:open-gop=0:keyint=60']
    : ['-c:v', 'libx264', '-g', '60'];
  const tags = ['-color_primaries', 'bt709', '-color_trc', 'bt709', '-colorspace', 'bt709', '-color_range', 'tv'];
  const child = spawn(
    await findFfmpeg(null),
    [
      ...['-y', '-v', 'error', '-f', 'rawvideo', '-pix_fmt', pixelFormat, '-s', size, '-r', '30', '-i', 'pipe:0'],
      ...[...coder, '-preset', 'veryfast', '-b:v', String(format.bitrate), '-pix_fmt', pixelFormat, ...tags],
      ...['-f', 'mp4', file],
    ],
    { stdio: ['pipe', 'ignore', 'inherit'] },
  );
  const closed = once(child, 'close');
  for (const planes of framePlanes(format, frames, vials)) {
    if (!child.stdin.write(planes)) await once(child.stdin, 'drain');
  }
  child.stdin.end();
  const [code] = (await closed) as [number | null];
  if (code !== 0) throw new Error(`the film ${file} could not be made`);
}

function* framePlanes(format: Format, frames: number, vials: number): Generator<Buffer> {
  const { width, height } = format;
  const deep = format.codec === 'hevc';
  const scale = deep ? 4 : 1;
  const [lumaSize, chromaWidth] = [width * height, width / 2];
  const total = lumaSize + (lumaSize >> 1);
  const base = new Uint16Array(total);
  const noise = noiseTable(13);
  const boxes = vialBoxes(vials, format);
  const white = whiteBox(format);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) base[y * width + x] = lumaOf(textured(x, y, width) ? mark : wall);
  }
  base.fill(128, lumaSize);
  const paint = (box: Box, [luma, cb, cr]: readonly [number, number, number]): void => {
    for (let y = box.y; y < box.y + box.height; y += 1)
      base.fill(luma, y * width + box.x, y * width + box.x + box.width);
    for (let y = box.y >> 1; y < (box.y + box.height) >> 1; y += 1) {
      const from = lumaSize + y * chromaWidth + (box.x >> 1);
      base.fill(cb, from, from + (box.width >> 1));
      base.fill(cr, from + (lumaSize >> 2), from + (lumaSize >> 2) + (box.width >> 1));
    }
  };
  paint(white, [lumaOf(card), 128, 128]);
  let seed = 7;
  for (let frame = 0; frame < frames; frame += 1) {
    boxes.forEach((box, vial) => paint(box, codesOf(vialColour(vial, frame / frames))));
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const shift = seed >>> 8;
    // A new buffer each: the pipe may still hold the last one.
    const bytes = Buffer.allocUnsafe(total * (deep ? 2 : 1));
    const samples = deep ? new Uint16Array(bytes.buffer, bytes.byteOffset, total) : bytes;
    for (let at = 0; at < total; at += 1) {
      const grain = noise[(at + shift) & (noise.length - 1)]! - 6;
      samples[at] = scale * base[at]! + (at < lumaSize ? scale * grain : (scale * grain) >> 1);
    }
    yield bytes;
  }
}

const lumaOf = (grey: number): number => Math.round(16 + (219 * grey) / 255);

function codesOf([red, green, blue]: readonly [number, number, number]): readonly [number, number, number] {
  const luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  return [
    lumaOf(luma),
    Math.round(128 + (224 * (blue - luma)) / (255 * 1.8556)),
    Math.round(128 + (224 * (red - luma)) / (255 * 1.5748)),
  ];
}

async function makePictures(folder: string, format: Format, frames: number, vials: number): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const { width, height } = format;
  const noise = noiseTable(13);
  const boxes = vialBoxes(vials, format);
  const data = new Uint8Array(3 * width * height);
  let seed = 7;
  for (let frame = 0; frame < frames; frame += 1) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const shift = seed >>> 8;
    const grain = (at: number): number => noise[(at + shift) & (noise.length - 1)]! - 6;
    for (let y = 0, at = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        const grey = textured(x, y, width) ? mark : wall;
        for (let channel = 0; channel < 3; channel += 1, at += 1) data[at] = grey + grain(at);
      }
    }
    const paint = (box: Box, colour: readonly [number, number, number]): void => {
      for (let y = box.y; y < box.y + box.height; y += 1) {
        for (let x = box.x; x < box.x + box.width; x += 1) {
          const at = 3 * (y * width + x);
          for (let channel = 0; channel < 3; channel += 1) data[at + channel] = colour[channel]! + grain(at + channel);
        }
      }
    };
    paint(whiteBox(format), [card, card, card]);
    boxes.forEach((box, vial) => paint(box, vialColour(vial, frame / frames)));
    const name = `${String(frame).padStart(5, '0')}.jpg`;
    writeFileSync(path.join(folder, name), await encodeJpeg({ width, height, data }, { quality: 88 }));
  }
}
