import { linearRgbToOklab, oklabDistance, oklabFromLinearWithSe, unwrapHue } from './colour/index.ts';
import { placeInFrame } from './model/place-in-frame.ts';
import type { ColourPath, ExtentSeries } from './model/extent.ts';
import type { Measurement, RegionColours } from './model/measurement.ts';
import type { Reaction } from './model/reaction.ts';
import type { Run } from './model/run.ts';
import { reagentAmount, sampleMillilitres } from './reaction/amounts.ts';
import { readColourPath } from './reaction/colour-path.ts';
import type { Triple, VialColours } from './reaction/vial-colours.ts';

/** Off the path by more than this, and by more than three times the run's residual, a colour is flagged. OKLab; chosen: plainly visible. */
const offPathAtLeast = 0.03;

const byRegion = new Intl.Collator('en', { numeric: true });

/**
 * Every vial's extents and hues from the measured colours; vials in the order of the run file.
 * `keep` says whether a vial's frame at a run time may be used (events).
 */
export function readSeries(
  measurement: Measurement,
  run: Run,
  reaction: Reaction,
  saved: ColourPath | null,
  addedRunS: readonly number[],
  keep: (region: string, runS: number) => boolean,
): { readonly path: ColourPath; readonly series: readonly ExtentSeries[] } {
  const { timeRunS } = measurement.frames;
  const columns = run.vials.map((vial) => measurement.vials.find(({ id }) => id === vial.region)!);
  const colours = run.vials.map((vial, index): VialColours => {
    const column = columns[index]!;
    return {
      region: vial.region,
      role: vial.role,
      knownExtent: vial.extent,
      place: placeInFrame(
        run.rig.regions.find(({ id }) => id === vial.region)!,
        run.rig.frame,
      ),
      timeS: timeRunS.map((time) => time - addedRunS[index]!),
      rgb: timeRunS.map((time, frame) => (keep(vial.region, time) ? tripleAt(column, frame) : null)),
      se: timeRunS.map((_, frame) => tripleSeAt(column, frame)),
    };
  });
  // One order whatever the run file's: the draws of the path's error are taken vial by vial.
  const order = run.vials
    .map((_, index) => index)
    .sort((first, second) => byRegion.compare(run.vials[first]!.region, run.vials[second]!.region));
  const { path, extents } = readColourPath({
    vials: order.map((index) => colours[index]!),
    reaction,
    reagentMolPerL: reagentMolPerL(run),
    saved,
    backdrop: measurement.backdrop ?? null,
    colourDistance: (first, second) => oklabDistance(linearRgbToOklab(first), linearRgbToOklab(second)),
  });
  const offPathLimit = Math.max(offPathAtLeast, 3 * (path.residual ?? 0));
  const series = run.vials.map((vial, index): ExtentSeries => {
    const vialColours = colours[index]!;
    const read = extents[order.indexOf(index)]!;
    const lch = timeRunS.map((_, frame) => {
      const rgb = tripleAt(columns[index]!, frame);
      return rgb === null ? null : oklabFromLinearWithSe(rgb, vialColours.se[frame] ?? [0, 0, 0]);
    });
    return {
      region: vial.region,
      addedRunS: addedRunS[index]!,
      timeRunS,
      timeS: vialColours.timeS,
      extent: read.extent,
      extentSe: read.extentSe,
      vialSe: read.vialSe,
      vialSeDf: read.vialSeDf,
      offPath: read.offPath,
      strange: read.strange,
      hueDeg: unwrapHue(lch.map((one) => one?.hueDeg ?? null)),
      hueSeDeg: lch.map((one) => one?.hueSeDeg ?? null),
      chroma: lch.map((one) => one?.chroma ?? null),
      chromaSe: lch.map((one) => one?.chromaSe ?? null),
      lightness: lch.map((one) => one?.lightness ?? null),
      lightnessSe: lch.map((one) => one?.lightnessSe ?? null),
      flags: timeRunS.map((_, frame) => flagsAt(columns[index]!, read.offPath[frame] ?? null, offPathLimit, frame)),
    };
  });
  return { path, series };
}

function tripleAt(column: RegionColours, frame: number): Triple | null {
  const red = column.red[frame] ?? null;
  const green = column.green[frame] ?? null;
  const blue = column.blue[frame] ?? null;
  return red === null || green === null || blue === null ? null : [red, green, blue];
}

function tripleSeAt(column: RegionColours, frame: number): Triple | null {
  const red = column.redSe[frame] ?? null;
  const green = column.greenSe[frame] ?? null;
  const blue = column.blueSe[frame] ?? null;
  return red === null || green === null || blue === null ? null : [red, green, blue];
}

/** Blue at its lower limit is usual for an orange; red or green cut off loses the extent. */
function flagsAt(column: RegionColours, offPath: number | null, limit: number, frame: number): string {
  const flags: string[] = [];
  if (offPath !== null && offPath > limit) flags.push('off-path');
  if ((column.redClipped[frame] ?? 0) > 0.5 || (column.greenClipped[frame] ?? 0) > 0.5) flags.push('clipped');
  return flags.join(' ');
}

function reagentMolPerL(run: Run): number | null {
  if (run.dose === null) return null;
  const mol = reagentAmount(run.dose);
  if (mol === null) return null;
  const millilitres = run.dose.reagentMl.value + (sampleMillilitres(run.dose) ?? 0);
  return millilitres > 0 ? (mol.value / millilitres) * 1000 : null;
}
