/** What a passed check means, in a few words that stand for its sentence on paper. */
const passedWords: Readonly<Record<string, string>> = {
  'positives-turned': 'positives turned',
  'negatives-still': 'negatives still',
  'blank-still': 'blank still',
  'references-agree': 'references agree',
  'reading-time': 'reading time declared and reached',
  'between-vial-spread': 'spread between vials known',
  'path-pinned': 'both ends of the scale pinned',
  'mixtures-constant': 'mixtures constant',
  ageing: 'end colour steady',
  'neighbour-effect': 'no effect of neighbours',
  'fast-part': 'enough frames of each change',
  'two-layers': 'no second liquid layer',
  'off-path': 'colours of this reaction',
  evaporation: 'no meniscus seen to sink',
  'vial-moved': 'no vial moved',
  light: 'light followed',
  camera: 'camera still',
  chart: 'colour chart fits',
  clipped: 'no clipped colours',
  frames: 'frames complete',
  events: 'no event of the whole rack',
  temperature: 'temperature steady enough',
  'replicates-agree': 'replicates agree',
  margin: 'margin attainable',
  'plan-declared': 'declared as planned',
  'plan-noise': 'spread as planned',
  'plan-limit': 'limit as planned',
  'plan-times': 'half-times as planned',
};

/** What a check that did not pass is about, in a few words; any other code says that by itself. */
const doubtWords: Readonly<Record<string, string>> = {
  'positives-turned': 'positives not turned',
  'negatives-still': 'negatives not still',
  'blank-still': 'blank not still',
  'references-agree': 'references disagree',
  'reading-time': 'reading time',
  'between-vial-spread': 'spread between vials unknown',
  'path-pinned': 'scale not pinned',
  'mixtures-constant': 'mixtures not constant',
  'vial-moved': 'a vial moved',
  'replicates-agree': 'replicates disagree',
  'fast-part': 'too few frames',
  ageing: 'end colour moved on',
  margin: 'margin not attainable',
  clipped: 'clipped colours',
  'plan-declared': 'not as declared in the plan',
  'plan-noise': 'spread above plan',
  'plan-limit': 'limit above plan',
  'plan-times': 'half-times not as planned',
};

export function doubtfulCheckWords(code: string): string {
  return doubtWords[code] ?? code.replaceAll('-', ' ');
}

/** `positives turned` for `positives-turned`; a code without words of its own stands as it is, its hyphens as spaces. */
export function passedCheckWords(code: string): string {
  return passedWords[code] ?? code.replaceAll('-', ' ');
}
