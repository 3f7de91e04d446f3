import type { RgbImage } from '../model/frame.ts';
import type { RectRegion } from '../model/region.ts';
import { alignLooks } from './align-looks.ts';
import { chooseVials, type Rack } from './choose-vials.ts';
import { colourMasks } from './colour-mask.ts';
import { erode, findComponents } from './components.ts';
import { findPatches } from './find-patches.ts';
import { fillGrid } from './fill-grid.ts';
import { joinParts } from './join-parts.ts';
import { liquidBox } from './liquid-box.ts';
import { shrinkToOklab, type SmallOklab } from './small-oklab.ts';

/** Proposed regions: to be looked at by a person, never taken silently. */
export interface FoundVials {
  /** A1, A2, … by row from the top and place from the left; on a regular grid the number is the column. */
  readonly regions: RectRegion[];
  /** Those of them that only the regular grid of the rack told of: their colour alone was not enough. Look at these first. */
  readonly filled: readonly string[];
  /** 0..1 for the rack as a whole, less where places were filled in; 0 when nothing was found. */
  readonly confidence: number;
  readonly white: RectRegion[];
}

/** Patches below are noise, working pixels. Chosen. */
const smallestPart = 16;
/** Working width. Chosen: a vial of 2 % of the frame's width is 13 pixels wide. */
const widest = 640;

/**
 * Proposes the liquids of a rack and neutral patches from several pictures over the run (same size; 4 to 10 are enough, at least one with
 * the reagent in the vials); places are those of the first. Liquids are what is coloured unlike the background in at least two looks, alike in size and standing in rows.
 */
export function findVials(frames: readonly RgbImage[]): FoundVials {
  const first = frames[0];
  if (first === undefined) return { regions: [], filled: [], confidence: 0, white: [] };
  const looks = alignLooks(
    frames
      .filter((frame) => frame.width === first.width && frame.height === first.height)
      .map((frame) => shrinkToOklab(frame, widest)),
  );
  const { factor } = looks[0]!;
  const rack = likeliestRack(looks);
  const rows = rack === null ? [] : fillGrid(rack.rows, looks);
  const vials = rows.flat().map(({ component }) => component);
  const toRect = (id: string, box: { left: number; top: number; right: number; bottom: number }): RectRegion => {
    const x = Math.round(box.left * factor);
    const y = Math.round(box.top * factor);
    return {
      id,
      shape: 'rect',
      x,
      y,
      width: Math.max(2, Math.round(box.right * factor) - x),
      height: Math.max(2, Math.round(box.bottom * factor) - y),
    };
  };
  const named = rows.flatMap((row, index) =>
    row.map((place) => ({ ...place, id: `${rowName(index)}${place.column + 1}` })),
  );
  const regions = named.map(({ id, component }) => toRect(id, liquidBox(component, looks)));
  const filled = named.filter((place) => place.filled).map(({ id }) => id);
  const white = findPatches(looks, vials).map((component, index) => {
    // A sixth of the patch is left free at every side.
    const insetX = (component.right - component.left) / 6;
    const insetY = (component.bottom - component.top) / 6;
    return toRect(`W${index + 1}`, {
      left: component.left + insetX,
      top: component.top + insetY,
      right: component.right - insetX,
      bottom: component.bottom - insetY,
    });
  });
  // Halved at most: as if all vials but one had been filled in.
  const trusted = 1 - filled.length / (2 * Math.max(1, regions.length));
  return { regions, filled, confidence: (rack?.confidence ?? 0) * trusted, white };
}

/**
 * The rack that is told by the reagent's own colours, or by any colour unlike the board's where that tells more: each by
 * the number of its vials, how regular they are, and how much they look like liquids.
 */
function likeliestRack(looks: readonly SmallOklab[]): Rack | null {
  const { width, height } = looks[0]!;
  const patchesOf = (mask: Uint8Array) =>
    joinParts(
      findComponents(erode(mask, width), width, height).components.filter(({ area }) => area >= smallestPart),
      looks,
    );
  let best: { rack: Rack; weight: number } | null = null;
  for (const { sure, perhaps } of colourMasks(looks)) {
    const rack = chooseVials(patchesOf(sure), patchesOf(perhaps), looks);
    if (rack === null) continue;
    const weight = Math.sqrt(rack.rows.flat().length) * rack.confidence * rack.liquidness ** 2;
    if (best === null || weight > best.weight) best = { rack, weight };
  }
  return best?.rack ?? null;
}

/** A, B, …, Z, AA, AB, … */
function rowName(row: number): string {
  return row < 26 ? String.fromCharCode(65 + row) : rowName(Math.floor(row / 26) - 1) + rowName(row % 26);
}
