import type { Bench } from './bench.ts';

export interface Schedule {
  readonly readAtS: number;
  readonly durationS: number;
  readonly intervalS: number;
  readonly frames: number;
  readonly storage: string;
}

/** Frames wanted in one half-time of the fastest reference; chosen: curvature is then plain to see. */
const framesInHalfTime = 10;
/** Fewest and most frames of a run; chosen: enough to average, not so many that a night fills a card. */
const fewestFrames = 120;
const mostFrames = 5000;
const niceS = [2, 5, 10, 15, 20, 30, 60, 90, 120, 180, 300, 600] as const;
/** Bytes a pixel; chosen from usual files: JPEG of good quality, and H.264 of a still scene. */
const bytesPerPixel = { stills: 0.35, film: 0.06 } as const;

/** Times of a run of this many vials. The fastest half-time may be `null`: nothing is expected to turn. */
export function scheduleOf(bench: Bench, vials: number, fastestHalfTimeS: number | null): Schedule {
  const lastDoseS = Math.max(0, vials - 1) * dosingGapS(bench);
  const durationS = bench.hours * 3600;
  const longest = durationS - lastDoseS;
  const quarter = 900;
  // A little before the end, so that frames lie on both sides of the reading time.
  const usual = Math.max(Math.floor((0.95 * longest) / quarter) * quarter, Math.round(0.9 * longest));
  const readAtS = bench.readAtH === undefined ? usual : bench.readAtH * 3600;
  const wanted = Math.min(durationS / fewestFrames, (fastestHalfTimeS ?? Infinity) / framesInHalfTime);
  const allowed = Math.max(wanted, durationS / mostFrames, niceS[0]);
  const intervalS = [...niceS].reverse().find((one) => one <= allowed) ?? niceS[0];
  const frames = Math.floor(durationS / intervalS) + 1;
  const { kind = 'stills', width = 1920, height = 1080 } = bench.camera ?? {};
  const bytes = frames * width * height * bytesPerPixel[kind];
  return {
    readAtS,
    durationS,
    intervalS,
    frames,
    storage: `${frames} frames of ${width} x ${height}, about ${size(bytes)} as ${kind === 'stills' ? 'JPEG stills' : 'film'}; keep twice that free`,
  };
}

/** Seconds between two doses; 15 where left out (chosen: an unhurried hand). */
export const dosingGapS = (bench: Bench): number => bench.dosingGapS ?? 15;

const size = (bytes: number): string =>
  bytes < 1e9 ? `${Math.max(1, Math.round(bytes / 1e6))} MB` : `${(bytes / 1e9).toFixed(1)} GB`;
