import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { encodeJpeg, encodeVideo } from '../../src/frames/index.ts';
import type { RgbImage } from '../../src/model/frame.ts';

export interface Format {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly codec: 'h264' | 'hevc' | 'jpeg';
  /** Bits a second of playback at 30 frames a second. */
  readonly bitrate?: number;
}

export const formats: readonly Format[] = [
  { name: '1080p H.264 20 Mbit/s', width: 1920, height: 1080, codec: 'h264', bitrate: 20e6 },
  { name: '1080p H.264 8 Mbit/s', width: 1920, height: 1080, codec: 'h264', bitrate: 8e6 },
  { name: '1080p HEVC 10 bit', width: 1920, height: 1080, codec: 'hevc', bitrate: 8e6 },
  { name: '4K H.264 24 Mbit/s', width: 3840, height: 2160, codec: 'h264', bitrate: 24e6 },
  { name: '12-Mpx JPEG', width: 4000, height: 3000, codec: 'jpeg' },
];

/** Places of vials: a grid that fills the middle of the frame; a quarter of the cell each way is left free. */
export function vialBoxes(count: number, width: number, height: number) {
  const columns = Math.ceil(Math.sqrt((count * width) / height));
  const rows = Math.ceil(count / columns);
  const [cellX, cellY] = [(width * 0.8) / columns, (height * 0.7) / rows];
  const side = Math.round(Math.min(cellX * 0.5, width * 0.05));
  const tall = Math.round(Math.min(cellY * 0.6, width * 0.07));
  return Array.from({ length: count }, (_, at) => ({
    x: Math.round(width * 0.1 + ((at % columns) + 0.25) * cellX),
    y: Math.round(height * 0.22 + (Math.floor(at / columns) + 0.2) * cellY),
    width: side,
    height: tall,
  }));
}

/** Turns from orange to green in every vial but each fourth; fresh noise in every frame, so that no codec can copy. */
function* pictures(format: Format, frames: number, regions: number): Generator<RgbImage> {
  const { width, height } = format;
  const boxes = vialBoxes(regions, width, height);
  const noise = new Uint8Array(1 << 20);
  let seed = 1;
  for (let at = 0; at < noise.length; at += 1) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    noise[at] = (seed >>> 24) % 13;
  }
  for (let frame = 0; frame < frames; frame += 1) {
    const data = new Uint8Array(width * height * 3);
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    const shift = seed >>> 8;
    for (let at = 0; at < data.length; at += 1) data[at] = 180 + noise[(at + shift) & (noise.length - 1)]!;
    // A still texture for the camera to be followed by.
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width * 0.08; x += 1) {
        if (((x >> 4) * 7 + (y >> 4) * 13) % 3 === 0)
          data[3 * (y * width + x) + 1] = 120 + noise[(x + y + shift) & 255]!;
      }
    }
    const turned = 1 - Math.exp((-4 * frame) / frames);
    boxes.forEach((box, vial) => {
      const extent = vial % 4 === 0 ? 0 : turned;
      const colour = [220 - 150 * extent, 140 - 20 * extent, 20 + 60 * extent];
      for (let y = box.y; y < box.y + box.height; y += 1) {
        for (let x = box.x; x < box.x + box.width; x += 1) {
          const at = 3 * (y * width + x);
          for (let channel = 0; channel < 3; channel += 1) {
            data[at + channel] = colour[channel]! + noise[(at + channel + shift) & (noise.length - 1)]! - 6;
          }
        }
      }
    });
    yield { width, height, data };
  }
}

/** Writes the film or pictures, the rig and the run file; the run file and the source. */
export async function makeRun(
  folder: string,
  format: Format,
  frames: number,
  regions: number,
): Promise<{ readonly run: string; readonly source: string }> {
  mkdirSync(folder, { recursive: true });
  const { width, height, codec } = format;
  const source = path.join(folder, codec === 'jpeg' ? 'stills' : 'film.mp4');
  if (codec === 'jpeg') {
    mkdirSync(source, { recursive: true });
    let at = 0;
    for (const picture of pictures(format, frames, regions)) {
      writeFileSync(
        path.join(source, `${String(at++).padStart(5, '0')}.jpg`),
        await encodeJpeg(picture, { quality: 90 }),
      );
    }
  } else {
    const options = { file: source, width, height, framesPerSecond: 30, bitrate: format.bitrate!, keyFrameEvery: 60 };
    const deep = codec === 'hevc' ? { codec, pixelFormat: 'yuv420p10le' } : { codec };
    await encodeVideo({ ...options, ...deep }, pictures(format, frames, regions));
  }
  const boxes = vialBoxes(regions, width, height);
  const rig = {
    ...{ schema: 'vialapse/rig@1', name: 'bench', frame: { width, height } },
    regions: boxes.map((box, at) => ({ id: `V${at + 1}`, shape: 'rect', ...box })),
    white: [{ id: 'W', shape: 'rect', x: Math.round(width * 0.4), y: 20, width: Math.round(width * 0.1), height: 80 }],
  };
  writeFileSync(path.join(folder, 'rig.json'), JSON.stringify(rig));
  const roles = ['negative', 'positive', 'sample', 'sample'];
  const vials = boxes.map(
    (_, at) => `  - { region: V${at + 1}, label: vial ${at + 1}, role: ${roles[at % 4]!}, added_run_s: 0 }`,
  );
  const run = path.join(folder, 'run.yaml');
  writeFileSync(
    run,
    `schema: vialapse/run@1\nname: bench\nrig: rig.json\nsource: ${path.basename(source)}\ntiming: { interval_s: 20 }\nreaction: acid-dichromate\nvials:\n${vials.join('\n')}\n`,
  );
  return { run, source };
}
