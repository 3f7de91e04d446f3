import { chromaSize } from '../pixel-format.ts';
import { samplesOf } from './coefficients.ts';
import { type CropPlan, planCrops } from './crop-plan.ts';
import type { Change } from './held-pattern.ts';
import { nextPicture, startStretch } from './stretch.ts';
import type { VideoPart } from './video-part.ts';

/** Cells across and down, and their side in pixels at most. Chosen: every vial of a large rack is met, and little is handed over. */
const grid = { columns: 12, rows: 8, side: 32 };

/** How much each decoded frame from a key frame on differs from the one before it; a frame behind a hole differs beyond measure. */
export async function* pictureChanges(
  part: VideoPart,
  { from, to, signal }: { readonly from: number; readonly to: number; readonly signal?: AbortSignal | undefined },
): AsyncGenerator<Change> {
  const frame = { width: part.facts.storedWidth, height: part.facts.storedHeight };
  const plan = planCrops(cellsOf(part), frame, part.format, part.facts.rotation);
  const stretch = startStretch(part, plan, { from, to, threads: 2, keyFramesOnly: false, signal });
  const samples = samplesOf(part.format, stretch.decoder.bytes);
  const measure = differenceOf(plan);
  let before: typeof samples | null = null;
  try {
    for (let next = await nextPicture(part, stretch); next !== null; next = await nextPicture(part, stretch)) {
      const { position } = next;
      if (position >= to) return;
      if (before !== null) {
        const hole = position !== stretch.expected;
        yield { position, ...(hole ? { mean: Infinity, most: Infinity } : measure(samples, before)) };
      }
      stretch.expected = position + 1;
      before ??= samples.slice();
      before.set(samples);
    }
  } finally {
    await stretch.decoder.close();
  }
}

function cellsOf({ width, height }: VideoPart) {
  const [across, down] = [width / grid.columns, height / grid.rows];
  const side = Math.max(2, Math.min(grid.side, 2 * Math.floor(Math.min(across, down) / 2)));
  return Array.from({ length: grid.columns * grid.rows }, (_, at) => {
    const [column, row] = [at % grid.columns, Math.floor(at / grid.columns)];
    const x = Math.max(0, Math.min(width - side, Math.floor((column + 0.5) * across - side / 2)));
    const y = Math.max(0, Math.min(height - side, Math.floor((row + 0.5) * down - side / 2)));
    return { id: `cell ${at}`, kind: 'anchor' as const, x, y, width: side, height: side };
  });
}

type Samples = ReturnType<typeof samplesOf>;

/** Mean absolute difference of two pictures over all cells, and of the cell that differs most; 8-bit codes. */
function differenceOf(plan: CropPlan): (now: Samples, before: Samples) => Omit<Change, 'position'> {
  const { format, width, height } = plan;
  const [chromaWidth, chromaHeight] = chromaSize(format, width, height);
  const coarse = width * height;
  const chroma = { width: chromaWidth, stepX: format.chromaX, stepY: format.chromaY };
  const planes = [
    { start: 0, width, stepX: 1, stepY: 1 },
    ...(format.model === 'grey'
      ? []
      : [
          { start: coarse, ...chroma },
          { start: coarse + chromaWidth * chromaHeight, ...chroma },
        ]),
  ];
  const scale = 2 ** (8 - format.bitDepth);
  return (now, before) => {
    let [sum, count, most] = [0, 0, 0];
    for (const { pieces } of plan.regions) {
      let [inCell, samples] = [0, 0];
      for (const piece of pieces) {
        for (const plane of planes) {
          const left = Math.floor(piece.stackX / plane.stepX);
          const across = Math.floor(piece.width / plane.stepX);
          const top = Math.floor(piece.stackY / plane.stepY);
          const rows = Math.floor(piece.height / plane.stepY);
          for (let row = top; row < top + rows; row++) {
            const from = plane.start + row * plane.width + left;
            for (let at = from; at < from + across; at++) inCell += Math.abs(now[at]! - before[at]!);
          }
          samples += across * rows;
        }
      }
      sum += inCell;
      count += samples;
      most = Math.max(most, inCell / samples);
    }
    return { mean: (scale * sum) / count, most: scale * most };
  };
}
