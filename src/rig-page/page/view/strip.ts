import { svg } from './dom.ts';

/** A vial lying on its side: its colour over the run, time to the right. Unreadable frames stay open. */
export function stripOf(colours: readonly (string | null)[], width: number, height: number): SVGElement {
  const step = width / Math.max(1, colours.length);
  const cells = colours.map((colour, index) =>
    svg('rect', {
      x: index * step,
      y: 0,
      width: step + 0.5,
      height,
      ...(colour === null ? { class: 'unread' } : { fill: colour }),
    }),
  );
  return svg(
    'svg',
    { viewBox: `0 0 ${width} ${height}`, class: 'strip', 'aria-hidden': 'true', preserveAspectRatio: 'none' },
    ...cells,
  );
}
