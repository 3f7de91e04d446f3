import { ring, triangle } from './curve-marks.ts';
import { line } from './svg.ts';
import type { ChartTheme } from './theme.ts';

export function onsetMarkIcon(theme: ChartTheme): string {
  return line(2, 11, 24, 11, theme.ink, { 'stroke-width': 1.25 }) + triangle(13, 11, theme);
}

export function ringIcon(theme: ChartTheme): string {
  return line(2, 7.5, 24, 7.5, theme.ink, { 'stroke-width': 1.25 }) + ring(13, 7.5, theme);
}
