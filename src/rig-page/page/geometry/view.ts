import type { Point } from '../../../model/region.ts';

/** How the frame lies on the stage: screen = frame * zoom + offset, CSS pixels. */
export interface View {
  readonly zoom: number;
  readonly x: number;
  readonly y: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Zoom limits in CSS pixels a frame pixel; chosen: a whole 8K frame on a tablet, single pixels as tiles. */
const limits = { least: 0.05, most: 32 } as const;

export const toScreen = (view: View, [x, y]: Point): Point => [x * view.zoom + view.x, y * view.zoom + view.y];
export const toFrame = (view: View, [x, y]: Point): Point => [(x - view.x) / view.zoom, (y - view.y) / view.zoom];

/** Height at the stage's lower edge that the zoom buttons take, CSS pixels: they must hide no vial. */
const buttonRoom = 48;

/** The whole frame, centred above the zoom buttons; on a stage that is hardly higher than they are, centred under them. */
export function fitView(frame: Size, stage: Size): View {
  const height = stage.height > 4 * buttonRoom ? stage.height - buttonRoom : stage.height;
  const zoom = Math.max(limits.least, Math.min(stage.width / frame.width, height / frame.height));
  return { zoom, x: (stage.width - frame.width * zoom) / 2, y: (height - frame.height * zoom) / 2 };
}

/** Zooms by a factor with one screen point staying where it is. */
export function zoomAt(view: View, factor: number, [x, y]: Point): View {
  const zoom = Math.min(limits.most, Math.max(limits.least, view.zoom * factor));
  const ratio = zoom / view.zoom;
  return { zoom, x: x - (x - view.x) * ratio, y: y - (y - view.y) * ratio };
}

/** Holds the view so that some of the frame stays on the stage. */
export function holdView(view: View, frame: Size, stage: Size): View {
  const margin = 48;
  const hold = (offset: number, length: number, room: number): number =>
    Math.min(room - margin, Math.max(margin - length, offset));
  return {
    zoom: view.zoom,
    x: hold(view.x, frame.width * view.zoom, stage.width),
    y: hold(view.y, frame.height * view.zoom, stage.height),
  };
}
