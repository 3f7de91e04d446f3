import type { ColourPath } from '../model/extent.ts';
import { checkShape } from './check-shape.ts';
import { readDocument } from './document.ts';
import { refuse, type Finding } from './findings.ts';
import { savedPathSchema, type SavedPathFile } from './schemas/saved-path.ts';

/** A colour path kept for later runs on the same rig with the same reagent. */
export interface SavedPath {
  /** Name of the rig it was found on. */
  readonly rigName: string;
  readonly reaction: string;
  /** Name of the run it was found in. */
  readonly madeFrom: string;
  readonly path: ColourPath;
}

/** @throws UserError naming file, line and key. */
export async function loadSavedPath(file: string): Promise<SavedPath> {
  const document = await readDocument(file);
  const saved = checkShape(savedPathSchema, document);
  refuse(document, savedPathFindings(saved));
  return {
    rigName: saved.rig,
    reaction: saved.reaction,
    madeFrom: saved.made_from,
    path: {
      source: 'saved',
      pins: saved.pins,
      pinnedStart: saved.pinned_start,
      pinnedEnd: saved.pinned_end,
      extent: saved.extent,
      linearRgb: saved.linear_rgb,
      residual: saved.residual,
      extentError: saved.extent_error,
      draws: saved.draws,
      notes: [],
    },
  };
}

/** The text of `path.json`; numbers to 7 significant digits, far below what a camera tells. */
export function savedPathText({ rigName, reaction, madeFrom, path }: SavedPath): string {
  const file: SavedPathFile = {
    schema: 'vialapse/path@1',
    rig: rigName,
    reaction,
    made_from: madeFrom,
    pins: [...path.pins],
    pinned_start: path.pinnedStart,
    pinned_end: path.pinnedEnd,
    extent: [...path.extent],
    linear_rgb: path.linearRgb.map(([red, green, blue]) => [red, green, blue]),
    residual: path.residual,
    extent_error: path.extentError,
    draws: path.draws.map((draw) => [...draw]),
  };
  const rounded = JSON.stringify(file, (_, value: unknown) =>
    typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(7)) : value,
  );
  return `${rounded}\n`;
}

function savedPathFindings({ extent, linear_rgb, draws }: SavedPathFile): Finding[] {
  const findings: Finding[] = [];
  const falls = extent.findIndex((value, index) => index > 0 && value <= extent[index - 1]!);
  if (falls >= 0) findings.push({ code: 'path-order', key: ['extent', falls], message: 'extents do not ascend' });
  if (linear_rgb.length !== extent.length) {
    findings.push({
      code: 'path-lengths',
      key: ['linear_rgb'],
      message: '"linear_rgb" and "extent" differ in length',
      expected: `${extent.length} colours`,
      got: `${linear_rgb.length} colours`,
    });
  }
  const uneven = draws.findIndex((draw) => draw.length !== extent.length);
  if (uneven >= 0) {
    findings.push({
      code: 'path-lengths',
      key: ['draws', uneven],
      message: 'a draw differs in length from "extent"',
      expected: `${extent.length} values`,
      got: `${draws[uneven]!.length} values`,
    });
  }
  return findings;
}
