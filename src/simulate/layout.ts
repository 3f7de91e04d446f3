import type { Scenario } from './scenario.ts';
import { regionName, vialCourses } from './vial-course.ts';

/** One vial in pixels of the frame, camera unmoved. */
export interface VialBox {
  readonly region: string;
  /** Middle line. */
  readonly centreX: number;
  readonly innerRadius: number;
  readonly outerRadius: number;
  /** Top of the cap, lower edge of the cap, lower edge of the glass. */
  readonly capTop: number;
  readonly capBottom: number;
  readonly bottom: number;
  /** Inner floor of the vial, and the surface just after dosing in the middle of the vial. */
  readonly floor: number;
  readonly surface: number;
}

export interface PatchBox {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Diffuse reflectance, 0..1. */
  readonly reflectance: number;
}

export interface ChartBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Layout {
  readonly pixelsPerCm: number;
  readonly vials: readonly VialBox[];
  readonly patches: readonly PatchBox[];
  /** The printed chart; `null` none. */
  readonly chart: ChartBox | null;
  /** Top and lower edge of each row's shelf front. */
  readonly shelves: readonly { readonly top: number; readonly bottom: number }[];
}

/** Places rack and patches: rows of vials on shelves, a strip with a white and a grey patch on the left. */
export function layoutOf(scenario: Scenario): Layout {
  const { width, height } = scenario.frame;
  const { rows, columns, innerDiameterCm, wallCm, heightCm, patches, chart } = scenario.rack;
  const strip = chart ? 0.2 * width : patches ? 0.11 * width : 0.03 * width;
  const cellWidth = (0.98 * width - strip) / columns;
  const cellHeight = (0.96 * height) / rows;
  const outerCm = innerDiameterCm + 2 * wallCm;
  const pixelsPerCm = Math.min((0.74 * cellWidth) / outerCm, (0.8 * cellHeight) / heightCm);
  const shelfHeight = 0.3 * pixelsPerCm;
  const floorThickness = 0.12 * pixelsPerCm;
  const shelves = Array.from({ length: rows }, (_, row) => {
    const top = 0.02 * height + cellHeight * (row + 1) - shelfHeight - 0.03 * cellHeight;
    return { top, bottom: top + shelfHeight };
  });
  const vials = vialCourses(scenario).map(({ liquidCm }, index): VialBox => {
    const shelf = shelves[Math.floor(index / columns)]!;
    const bottom = shelf.top + 0.05 * pixelsPerCm;
    const floor = bottom - floorThickness;
    const capTop = bottom - heightCm * pixelsPerCm;
    return {
      region: regionName(index, columns),
      centreX: strip + cellWidth * ((index % columns) + 0.5),
      innerRadius: (innerDiameterCm / 2) * pixelsPerCm,
      outerRadius: (outerCm / 2) * pixelsPerCm,
      capTop,
      capBottom: capTop + 0.7 * pixelsPerCm,
      bottom,
      floor,
      surface: floor - liquidCm * pixelsPerCm,
    };
  });
  return {
    pixelsPerCm,
    vials,
    patches: patches ? patchBoxes(Math.min(strip, 0.11 * width), height) : [],
    chart: chart ? { x: 0.06 * strip, y: 0.5 * height, width: 0.86 * strip, height: 0.57 * strip } : null,
    shelves,
  };
}

/** Reflectances of a white and a middle-grey card, chosen. */
function patchBoxes(strip: number, height: number): readonly PatchBox[] {
  const side = Math.min(0.62 * strip, 0.14 * height);
  const x = (strip - side) / 2;
  const y = 0.1 * height;
  return [
    { id: 'W', x, y, width: side, height: side, reflectance: 0.82 },
    { id: 'G', x, y: y + 1.2 * side, width: side, height: side, reflectance: 0.36 },
  ];
}

/** The rectangle a user would draw: the liquid, clear of walls, floor and meniscus; whole pixels. */
export function liquidRect(box: VialBox): {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
} {
  const x = Math.ceil(box.centreX - 0.7 * box.innerRadius);
  const height = box.floor - box.surface;
  const y = Math.ceil(box.surface + 0.16 * height);
  return {
    x,
    y,
    width: Math.floor(box.centreX + 0.7 * box.innerRadius) - x,
    height: Math.floor(box.floor - 0.1 * height) - y,
  };
}
