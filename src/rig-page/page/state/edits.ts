import type { Region } from '../../../model/region.ts';
import type { ChartDraft } from '../../messages.ts';
import { nextName } from '../geometry/names.ts';
import { translate } from '../geometry/shape.ts';
import { findRegion, isPatch, newVial, takenNames, type RunField, type Sheet, type VialField } from './document.ts';

/** Every change of the sheet: pure functions, so that undo is keeping the sheet before. */
export type Edit = (sheet: Sheet) => Sheet;

export const addVials =
  (regions: readonly Region[]): Edit =>
  (sheet) => ({
    ...sheet,
    regions: [...sheet.regions, ...regions],
    vials: { ...sheet.vials, ...Object.fromEntries(regions.map(({ id }) => [id, newVial])) },
  });

export const addPatch =
  (region: Region): Edit =>
  (sheet) => ({ ...sheet, white: [...sheet.white, region] });

/** Puts changed regions in the place of those of the same id. */
export const replaceRegions =
  (changed: readonly Region[]): Edit =>
  (sheet) => {
    const byId = new Map(changed.map((region) => [region.id, region]));
    const swap = (region: Region): Region => byId.get(region.id) ?? region;
    return { ...sheet, regions: sheet.regions.map(swap), white: sheet.white.map(swap) };
  };

export const removeRegions =
  (ids: readonly string[]): Edit =>
  (sheet) => {
    const gone = new Set(ids);
    return {
      ...sheet,
      regions: sheet.regions.filter(({ id }) => !gone.has(id)),
      white: sheet.white.filter(({ id }) => !gone.has(id)),
      vials: Object.fromEntries(Object.entries(sheet.vials).filter(([id]) => !gone.has(id))),
    };
  };

/** Renames a region; the name must be free. */
export const renameRegion =
  (from: string, to: string): Edit =>
  (sheet) => {
    if (to === '' || to === from || takenNames(sheet).has(to)) return sheet;
    const swap = (region: Region): Region => (region.id === from ? { ...region, id: to } : region);
    return {
      ...sheet,
      regions: sheet.regions.map(swap),
      white: sheet.white.map(swap),
      vials: Object.fromEntries(Object.entries(sheet.vials).map(([id, vial]) => [id === from ? to : id, vial])),
    };
  };

/** Copies of regions beside the originals, and the names they got. A copy keeps role, group and expectation. */
export function duplicate(
  sheet: Sheet,
  ids: readonly string[],
  offset: number,
): { sheet: Sheet; ids: readonly string[] } {
  const taken = new Set(takenNames(sheet));
  const names: string[] = [];
  let next = sheet;
  for (const id of ids) {
    const region = findRegion(sheet, id);
    if (region === undefined) continue;
    const name = nextName(id, taken);
    taken.add(name);
    names.push(name);
    const copy = { ...translate(region, offset, offset), id: name };
    if (isPatch(sheet, id)) next = addPatch(copy)(next);
    else {
      const vial = sheet.vials[id] ?? newVial;
      next = addVials([copy])(next);
      next = { ...next, vials: { ...next.vials, [name]: { ...vial, label: '', value: '', extra: {} } } };
    }
  }
  return { sheet: next, ids: names };
}

export const setVial =
  (id: string, field: VialField, value: string): Edit =>
  (sheet) => {
    const vial = sheet.vials[id];
    return vial === undefined || vial[field] === value
      ? sheet
      : { ...sheet, vials: { ...sheet.vials, [id]: { ...vial, [field]: value } } };
  };

export const setRun =
  (field: RunField, value: string): Edit =>
  (sheet) =>
    sheet.run[field] === value ? sheet : { ...sheet, run: { ...sheet.run, [field]: value } };

export const setChart =
  (chart: ChartDraft | null): Edit =>
  (sheet) => ({ ...sheet, chart });

export const setRigName =
  (rigName: string): Edit =>
  (sheet) => ({ ...sheet, rigName });
