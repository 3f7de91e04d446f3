import type { Layout } from './layout.ts';
import type { Scenario } from './scenario.ts';
import { cardLight, cardReflectance, paintBackground } from './scene/background.ts';
import { createCanvas } from './scene/canvas.ts';
import { paintChart } from './scene/colour-chart.ts';
import { paintLabel } from './scene/labels.ts';
import { liquidPixels, type LiquidPixels } from './scene/liquid-pixels.ts';
import { valueNoise } from './scene/texture.ts';
import { paintVial } from './scene/vial-glass.ts';
import { linearLimits } from './sensor.ts';
import { scenarioWeights } from './viewing.ts';

/** All that stands still in the picture for one position of the camera. */
export interface Stage {
  /** Linear light at the sensor, three floats a pixel, without any liquid; stray light included. */
  readonly still: Float32Array;
  readonly liquids: readonly LiquidPixels[];
  /** Stray light, linear. */
  readonly flare: number;
}

/** Exposure at a pixel: falls towards the corners with the fourth power of the half angle's stand-in, the radius. */
export function exposureAt(scenario: Scenario): (px: number, py: number) => number {
  const { width, height } = scenario.frame;
  const { exposure, vignetting } = scenario.camera;
  const corner = (width * width + height * height) / 4;
  return (px, py) => {
    const square = ((px - width / 2) ** 2 + (py - height / 2) ** 2) / corner;
    return exposure * (1 - vignetting * square);
  };
}

/** Paints the scene once for a camera moved by `shift` pixels (the scene moves by as much in the picture). */
export function buildStage(scenario: Scenario, layout: Layout, shift: readonly [number, number]): Stage {
  const { width, height } = scenario.frame;
  const canvas = createCanvas(width, height);
  const card = cardLight(scenario.seed, scenario.rack.texture, scenario.frame);
  const exposed = exposureAt(scenario);
  const flare = scenario.camera.flare * scenario.camera.exposure;
  paintBackground(canvas, layout, scenario.seed, card, shift);
  if (layout.chart !== null) {
    const lit = (x: number, y: number): number => card(x, y) / cardReflectance;
    paintChart(canvas, layout.chart, scenarioWeights(scenario), lit, shift);
  }
  layout.vials.forEach((box, index) => {
    paintVial(canvas, box, scenario.rack.glare, shift);
    const shelf = layout.shelves[Math.floor(index / scenario.rack.columns)];
    if (shelf !== undefined) paintLabel(canvas, box, shelf, shift);
  });
  for (let row = 0, at = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1) {
      const gain = exposed(column + 0.5, row + 0.5);
      for (const end = at + 3; at < end; at += 1)
        canvas.data[at] = Math.min(linearLimits.high, canvas.data[at]! * gain + flare);
    }
  }
  const grainAt = valueNoise(`${scenario.seed}/turbid`, 1.5);
  const liquids = layout.vials.map((box) =>
    liquidPixels({
      box,
      width,
      height,
      shift,
      pixelsPerCm: layout.pixelsPerCm,
      glareStrength: scenario.rack.glare,
      card,
      exposureAt: exposed,
      grainAt,
    }),
  );
  return { still: canvas.data, liquids, flare };
}
