import type { VialBox } from '../layout.ts';
import { bell, coverage, lay, paint, smoothStep, type Canvas } from './canvas.ts';

/** Light lost in two clean glass walls (four surfaces of 4 % reflect less than 15 % in all); chosen. */
export const glassTransmittance = 0.9;

/** The reflection of the lamp: a tall stripe left of the middle and a faint one on the right, linear light to add. */
export function glareAt(box: VialBox, x: number, y: number, strength: number): number {
  const across = (x - box.centreX) / box.outerRadius;
  const down = (y - box.capBottom) / (box.bottom - box.capBottom);
  const tall = smoothStep(0.05, 0.12, down) * smoothStep(0.93, 0.84, down);
  return strength * tall * (bell(across, -0.56, 0.055) + 0.3 * bell(across, 0.66, 0.04));
}

/** Darkening towards the edge of a round glass, where rays are bent away from the card. */
export function edgeDarkening(across: number): number {
  const wide = Math.abs(across);
  return 1 - 0.18 * smoothStep(0.55, 0.95, wide) - 0.42 * bell(wide, 0.97, 0.045) - 0.1 * bell(wide, 0.86, 0.03);
}

/** Paints an empty vial with its cap over the background. */
export function paintVial(canvas: Canvas, box: VialBox, glare: number, shift: readonly [number, number]): void {
  const [dx, dy] = shift;
  const radius = box.outerRadius;
  const corner = 0.35 * radius;
  const left = box.centreX - radius;
  const right = box.centreX + radius;
  // Soft shadow on the card to the right, since the lamp stands left.
  paint(canvas, [left + dx, box.capTop + dy, right + dx + radius, box.bottom + dy], (px, py, colour) => {
    const across = (px - dx - box.centreX) / radius;
    const shadow = 0.1 * bell(across, 1.12, 0.22) * smoothStep(box.capTop, box.capTop + radius, py - dy);
    for (let channel = 0; channel < 3; channel += 1) colour[channel]! *= 1 - shadow;
  });
  paint(canvas, [left + dx - 1, box.capBottom + dy - 2, right + dx + 1, box.bottom + dy + 1], (px, py, colour) => {
    const x = px - dx;
    const y = py - dy;
    const inside = coverage(roundedDistance(x, y, left, right, box.bottom, corner));
    if (inside === 0) return;
    const across = (x - box.centreX) / radius;
    const thickFloor = y > box.floor ? 0.72 + 0.35 * bell(y, (box.floor + box.bottom) / 2, 1.5) : 1;
    const through = glassTransmittance * edgeDarkening(across) * thickFloor;
    const shine = glareAt(box, x, y, glare);
    for (let channel = 0; channel < 3; channel += 1) {
      const there = colour[channel]!;
      // Glass has a trace of green.
      colour[channel] = there + inside * (there * through * (channel === 1 ? 1 : 0.985) + shine - there);
    }
  });
  paintCap(canvas, box, shift);
}

function paintCap(canvas: Canvas, box: VialBox, [dx, dy]: readonly [number, number]): void {
  const radius = box.outerRadius * 1.1;
  const box4 = [
    box.centreX - radius + dx - 1,
    box.capTop + dy - 1,
    box.centreX + radius + dx + 1,
    box.capBottom + dy + 1,
  ] as const;
  paint(canvas, box4, (px, py, colour) => {
    const x = px - dx;
    const y = py - dy;
    const across = (x - box.centreX) / radius;
    const inside = coverage(
      Math.min(radius - Math.abs(x - box.centreX), y - box.capTop - 0.06 * radius * across ** 2, box.capBottom - y),
    );
    const angle = Math.asin(Math.max(-1, Math.min(1, across)));
    const ribs = y > box.capTop + 0.22 * radius ? 1 + 0.22 * Math.sin(angle * 26) : 1.25;
    const light = (0.035 + 0.1 * bell(across, -0.45, 0.16) + 0.03 * bell(across, 0.6, 0.2)) * ribs;
    lay(colour, light, light, 1.05 * light, inside);
  });
}

/** Distance inside a box that is open at the top and has rounded lower corners, pixels. */
export function roundedDistance(
  x: number,
  y: number,
  left: number,
  right: number,
  bottom: number,
  corner: number,
): number {
  const sideways = Math.max(left + corner - x, x - (right - corner), 0);
  const downwards = Math.max(y - (bottom - corner), 0);
  if (sideways > 0 && downwards > 0) return corner - Math.hypot(sideways, downwards);
  return Math.min(x - left, right - x, bottom - y);
}
