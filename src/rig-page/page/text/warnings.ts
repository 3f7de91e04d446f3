import type { Reading, Strip } from '../../messages.ts';

/** Limits of what is worth a word; all chosen, to be read as hints and never as verdicts. */
const limits = {
  /** Samples: below, the error of the colour is dominated by noise and the choice of pixels. */
  fewSamples: 150,
  /** Share left out: above a third the region lies on something that is not liquid. */
  leftOut: 1 / 3,
  /** OKLab distance of the halves: about five just noticeable differences of 0.02. */
  halves: 0.1,
  /** OKLab distance of an edge strip from the middle; liquid in round glass alone stays below. */
  edges: 0.12,
  /** Share of samples at the end of the scale. */
  clipped: 0.1,
} as const;

/** What is doubtful about a region, in words. */
export function warningsOf(reading: Reading | undefined, overlapping: readonly string[]): readonly string[] {
  const warnings: string[] = [];
  if (overlapping.length > 0) warnings.push(`overlaps ${overlapping.join(', ')}`);
  if (reading === undefined) return warnings;
  if (reading.colour === null) return [...warnings, 'too small: no colour can be read'];
  if (reading.samples < limits.fewSamples) warnings.push(`too small: only ${reading.samples} samples left to read`);
  if ((reading.leftOut ?? 0) > limits.leftOut) warnings.push('glare or edges over more than a third');
  if ((reading.halvesDeltaE ?? 0) > limits.halves) warnings.push('two layers: upper and lower half differ');
  const { left, right } = reading.edgesDeltaE;
  const sides = [(left ?? 0) > limits.edges ? 'left' : null, (right ?? 0) > limits.edges ? 'right' : null];
  const touching = sides.filter((side) => side !== null);
  if (touching.length > 0) warnings.push(`touches the glass on the ${touching.join(' and ')}: make it narrower`);
  if ((reading.clipped ?? 0) > limits.clipped) warnings.push('overexposed: a colour channel is at its limit');
  return warnings;
}

/** What to say of a vial whose added time is left to be found in the film, but cannot be seen there. */
export function dosingWarning(strip: Strip | undefined, added: string): readonly string[] {
  if (strip === undefined || added.trim() !== '' || strip.dosing === 'found') return [];
  return strip.dosing === 'before-first-frame'
    ? ['holds reagent from the first frame on: give the time it was added']
    : ['not seen turning reagent-coloured: give the time it was added'];
}

const hueWords: readonly (readonly [number, string])[] = [
  [20, 'pink'],
  [45, 'red'],
  [80, 'orange'],
  [115, 'yellow'],
  [165, 'green'],
  [215, 'blue-green'],
  [285, 'blue'],
  [335, 'purple'],
  [361, 'pink'],
];

/** A colour in words, for those who cannot tell it by eye: from lightness, chroma and OKLCh hue. */
export function colourWords(reading: Reading): string {
  const { hueDeg, chroma, lightness } = reading;
  if (lightness === null || chroma === null) return 'unreadable';
  const shade = lightness < 0.35 ? 'dark ' : lightness > 0.8 ? 'light ' : '';
  if (hueDeg === null) return `${shade}grey`;
  // Chosen: below this chroma most people would call it grey first.
  const greyish = chroma < 0.05 ? 'greyish ' : '';
  return `${greyish}${shade}${hueWords.find(([upTo]) => hueDeg < upTo)?.[1] ?? 'pink'}`;
}
