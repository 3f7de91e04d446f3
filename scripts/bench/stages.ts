/**
 * `node --import tsx scripts/bench/stages.ts RUN.yaml`: wall and processor seconds of the steps of one measurement, as
 * JSON on stdout. Processor seconds are Node's own, without its decoders'.
 */
import path from 'node:path';
import { createRegionReader, regionCrop } from '../../src/colour/index.ts';
import { loadRun } from '../../src/files/index.ts';
import { openSource } from '../../src/frames/index.ts';
import { lookAhead } from '../../src/look-ahead.ts';
import { cropMarginPixels } from '../../src/motion/index.ts';
import { readFrames } from '../../src/read-frames.ts';

const run = await loadRun(process.argv[2]!);
const spent: Record<string, { wallS: number; cpuS: number; systemS: number }> = {};

async function timed<T>(name: string, work: () => Promise<T>): Promise<T> {
  const [wall, cpu] = [performance.now(), process.cpuUsage()];
  const result = await work();
  const used = process.cpuUsage(cpu);
  spent[name] = {
    wallS: (performance.now() - wall) / 1000,
    cpuS: (used.user + used.system) / 1e6,
    systemS: used.system / 1e6,
  };
  return result;
}

const source = await timed('open', () =>
  openSource({ parts: run.source, timing: run.timing, baseDir: path.dirname(run.file) }),
);
const frame = { width: source.info.width, height: source.info.height };
const measured = [
  ...run.rig.regions.map((region) => ({ region, kind: 'vial' as const })),
  ...run.rig.white.map((region) => ({ region, kind: 'white' as const })),
].map(({ region, kind }) => {
  const crop = { ...regionCrop(region, kind, frame, cropMarginPixels(frame.width)), id: `${kind} ${region.id}` };
  return { crop, reader: createRegionReader(region, crop, { frame, transfer: 'srgb' }) };
});
const { anchors } = await timed('lookAhead', () =>
  lookAhead({
    ...{ source, still: [...run.rig.regions, ...run.rig.white], measured, backdrop: [], transfer: 'srgb' },
    ...{ marginPixels: cropMarginPixels(frame.width), moves: [] },
  }),
);
const { framesRead } = await timed('readFrames', () =>
  readFrames({ source, measured, anchors, onFrame: () => undefined }),
);
await source.close();
process.stdout.write(`${JSON.stringify({ framesRead, spent, rssMb: process.memoryUsage.rss() / 1e6 })}\n`);
