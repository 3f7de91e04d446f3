import type { Check } from '../situation.ts';
import { median } from '../../numeric/median.ts';
import { listText } from '../text.ts';
import type { JudgedVial } from '../types.ts';

/** Movement of the end colour that counts, OKLab units; chosen: about what an eye sees. */
const visibleDeltaE = 0.02;
/** Extent from which a positive counts as having reached its end colour. */
const plateauExtent = 0.95;
/** Frames compared at each end of the plateau, at least this many each. */
const fewestFrames = 5;

/** Whether the end colour of the positives moves on after the plateau (chromium(III) ages): then the scale has no fixed end. */
export const ageing: Check = ({ vials }) => {
  const code = 'ageing';
  const moves = vials
    .filter(({ vial }) => vial.role === 'positive')
    .map((judged) => ({ region: judged.vial.region, moved: plateauMovement(judged) }))
    .filter(({ moved }) => moved !== null);
  if (moves.length === 0) return [];
  const aged = moves.filter(({ moved }) => moved! > visibleDeltaE);
  return aged.length === 0
    ? [
        {
          code,
          status: 'pass',
          message: 'The end colour of the positive references stayed the same after they had turned.',
        },
      ]
    : [
        {
          code,
          status: 'warn',
          message: `The end colour of ${listText(aged.map(({ region }) => region))} moved on after it had turned (chromium(III) ages): the scale was pinned at the beginning of the plateau.`,
        },
      ];
};

/** OKLab distance between the first and last quarter of the plateau; `null` without a long enough one. */
function plateauMovement({ usable, series }: JudgedVial): number | null {
  const begin = usable.extent.findIndex((value) => value > plateauExtent);
  const plateau = begin < 0 ? [] : usable.frame.slice(begin);
  const span = Math.floor(plateau.length / 4);
  if (span < fewestFrames) return null;
  const first = centre(series, plateau.slice(0, span));
  const last = centre(series, plateau.slice(-span));
  return first === null || last === null ? null : Math.hypot(...first.map((value, i) => value - last[i]!));
}

function centre(series: JudgedVial['series'], frames: readonly number[]): readonly number[] | null {
  const lightness = median(frames.map((frame) => series.lightness[frame] ?? null));
  const opponent = (turn: (radians: number) => number): number | null =>
    median(
      frames.map((frame) => {
        const hue = series.hueDeg[frame] ?? null;
        const chroma = series.chroma[frame] ?? null;
        return hue === null || chroma === null ? null : chroma * turn((hue * Math.PI) / 180);
      }),
    );
  const a = opponent(Math.cos);
  const b = opponent(Math.sin);
  return lightness === null || a === null || b === null ? null : [lightness, a, b];
}
