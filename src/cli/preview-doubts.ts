import { backdropDoubt } from './backdrop-doubt.ts';
import { areaOf, overlapOf } from '../files/region-geometry.ts';
import type { Region } from '../model/region.ts';
import type { Run } from '../model/run.ts';
import { chromiumPerFormula, molarMassGMol } from '../reaction/stoichiometry.ts';
import { formatDuration } from '../report/duration.ts';
import { frameRanges } from '../report/frame-ranges.ts';
import { fewKeyFrames } from '../refuse-single-frame.ts';
import type { PreviewGlance, RegionLook } from './preview-glance.ts';

/** Something that the user should know before the long run. */
export interface Doubt {
  readonly severity: 'info' | 'warn';
  readonly message: string;
}

/** Pixels below which a region's colour is noisy. Chosen: about 15 x 15. */
const fewPixels = 225;
/** Share of a region at full scale that is worth a word. Chosen. */
const muchGlare = 0.1;
/** Share of a neutral patch at full scale from which lamp drift can hide in it. Chosen. */
const patchTooBright = 0.05;
/** Encoded green below which a region is dark: under 2 % of linear light. Chosen. */
const dark = 0.15;
/** Change of a patch's encoded green over the run that is no drift any more but another light. Chosen. */
const lightJump = 0.15;
/** Overlap of two regions worth a word; from one half on it is an error. Chosen. */
const someOverlap = 0.1;

/** What is wrong or doubtful, in plain words, the worst first. */
export function doubtsOf(run: Run, glance: PreviewGlance): readonly Doubt[] {
  const doubts = [
    ...glance.info.notes,
    ...glance.placing,
    ...framesDoubts(glance),
    ...glance.settingsChanged.map(warn),
    ...timeDoubts(run, glance),
    ...referenceDoubts(run),
    ...doseDoubts(run),
    ...regionDoubts(run),
    ...pictureDoubts(run, glance),
    ...backdropDoubts(glance),
  ].map(({ severity, message }): Doubt => ({ severity: severity === 'info' ? 'info' : 'warn', message }));
  return [
    ...doubts.filter(({ severity }) => severity === 'warn'),
    ...doubts.filter(({ severity }) => severity === 'info'),
  ];
}

function groupBy<Item>(items: readonly Item[], keyOf: (item: Item) => string): ReadonlyMap<string, readonly Item[]> {
  const groups = new Map<string, Item[]>();
  for (const item of items) groups.set(keyOf(item), [...(groups.get(keyOf(item)) ?? []), item]);
  return groups;
}

const warn = (message: string): Doubt => ({ severity: 'warn', message });
const info = (message: string): Doubt => ({ severity: 'info', message });

function framesDoubts({ inQuestion, framesLookedAt }: PreviewGlance): Doubt[] {
  const reasons = groupBy(inQuestion, ({ reason }) => reason.replaceAll(/\d+/g, '#'));
  return [...reasons.values()].map((frames) => {
    const ranges = frameRanges(frames.map(({ index }) => ({ index, reason: '' }))).map((range) => range.frames);
    const first = frames[0]!;
    const from = first.timeRunS === null ? '' : ` (from ${formatDuration(first.timeRunS)})`;
    return warn(
      `${frames.length} of ${framesLookedAt} frames looked at cannot be used: ${shortened(ranges)}${from}: ${first.file === null ? '' : `${frames.length === 1 ? '' : 'first '}${first.file}: `}${first.reason}`,
    );
  });
}

/** A handful of ranges by name, the rest by number. */
function shortened(ranges: readonly string[]): string {
  const shown = ranges.slice(0, 5).join(', ');
  return ranges.length <= 5 ? shown : `${shown} and ${ranges.length - 5} more stretches`;
}

function timeDoubts(run: Run, { info: source, framesLookedAt, inQuestion, everyFrame }: PreviewGlance): Doubt[] {
  const doubts: Doubt[] = [];
  const end = source.durationS;
  if (everyFrame && framesLookedAt - inQuestion.length < 2)
    doubts.push(warn('fewer than two frames can be used: nothing can be followed over time, and analyse will refuse'));
  if (!everyFrame && framesLookedAt < fewKeyFrames && source.kind === 'video')
    doubts.push(info(`only ${framesLookedAt} frames of the film are key frames, and only those were looked at here`));
  if (run.readAtS === null)
    doubts.push(info('no reading time is declared (read_at_s): samples are compared at the end of the run'));
  if (end === null) return doubts;
  if (run.readAtS !== null && run.readAtS > end) {
    doubts.push(
      warn(`the reading time ${formatDuration(run.readAtS)} is after the last frame, ${formatDuration(end)}`),
    );
  }
  for (const { region, addedRunS } of run.vials) {
    if (addedRunS === null) doubts.push(info(`${region}: no dosing time is given; it is looked for in the film`));
    else if (addedRunS < 0)
      doubts.push(
        info(
          `${region}: dosed ${formatDuration(-addedRunS)} before the first frame; what it did until then is not seen`,
        ),
      );
    else if (addedRunS > end) doubts.push(warn(`${region}: its reagent is added after the last frame`));
  }
  return doubts;
}

function referenceDoubts({ vials, rig }: Run): Doubt[] {
  const count = (role: string): number => vials.filter((vial) => vial.role === role).length;
  const hasSamples = count('sample') > 0;
  if (count('known') > 0 && count('negative') + count('positive') === 0) return panelDoubts(vials, rig);
  const doubts: Doubt[] = [];
  if (hasSamples && count('negative') === 0)
    doubts.push(warn('there is no negative reference: no sample can be said to resist'));
  if (hasSamples && count('negative') === 1) {
    doubts.push(
      warn('there is one negative reference only, so no spread between vials: no sample can be said to resist'),
    );
  }
  if (hasSamples && count('positive') === 0) doubts.push(warn('there is no positive reference: extents are relative'));
  if (count('blank') === 0) doubts.push(info('there is no blank: extent 0 rests on the negative references alone'));
  if (rig.white.length === 0) doubts.push(warn('there is no neutral patch: lamp drift cannot be told from reaction'));
  return doubts;
}

/** A salt whose chromium cannot be counted: then no amount is known, and no level. */
function doseDoubts({ dose }: Run): Doubt[] {
  if (dose === null || (molarMassGMol(dose.reagent.salt) !== null && chromiumPerFormula(dose.reagent.salt) !== null))
    return [];
  return [
    warn(
      `the salt "${dose.reagent.salt}" is not the formula of a chromium salt, such as K2Cr2O7: no amounts and no levels will be known`,
    ),
  ];
}

/** A panel for "match": knowns in place of negative and positive references. */
function panelDoubts(vials: Run['vials'], rig: Run['rig']): Doubt[] {
  const identities = groupBy(
    vials.filter(({ role }) => role === 'known'),
    ({ identity }) => identity ?? '',
  );
  const single = [...identities].filter(([, members]) => members.length === 1).map(([identity]) => identity);
  return [
    ...(single.length === identities.size
      ? [warn('no known has a second vial: match can say that colours differ, never that they agree')]
      : single.length > 0
        ? [info(`knowns with one vial only: ${single.join(', ')}`)]
        : []),
    ...(rig.white.length === 0
      ? [warn('there is no neutral patch: colours hold for this light only, not for another day')]
      : []),
  ];
}

function regionDoubts({ rig, vials }: Run): Doubt[] {
  const used = new Set(vials.map(({ region }) => region));
  const idle = rig.regions.filter(({ id }) => !used.has(id)).map(({ id }) => id);
  const tiny = [...rig.regions, ...rig.white].filter((region) => areaOf(region) < fewPixels);
  const overlapping = rig.regions.flatMap((first, at) =>
    rig.regions
      .slice(at + 1)
      .filter((second) => overlapOf(first, second) > someOverlap)
      .map((second) => warn(`${first.id} and ${second.id} overlap: each may hold a part of the other's vial`)),
  );
  return [
    ...(tiny.length === 0 ? [] : [warn(tinyWords(tiny))]),
    ...overlapping,
    ...(idle.length === 0 ? [] : [info(`regions of the rig without a vial in this run: ${idle.join(', ')}`)]),
  ];
}

function tinyWords(regions: readonly Region[]): string {
  const areas = regions.map((region) => Math.round(areaOf(region))).sort((a, b) => a - b);
  const [smallest, largest] = [areas[0]!, areas.at(-1)!];
  if (regions.length === 1) return `${regions[0]!.id} covers ${smallest} pixels only: its colour will be noisy`;
  const names = regions.map(({ id }) => id);
  const shown = names.length > 8 ? `${names.slice(0, 7).join(', ')} and ${names.length - 7} more` : names.join(', ');
  const pixels = smallest === largest ? `${smallest}` : `${smallest} to ${largest}`;
  return `${shown} cover ${pixels} pixels only: their colours will be noisy`;
}

function backdropDoubts({ rig, still }: PreviewGlance): Doubt[] {
  const message = backdropDoubt(rig, still);
  return message === null ? [] : [info(message)];
}

function pictureDoubts({ rig, vials }: Run, { looks }: PreviewGlance): Doubt[] {
  const byRegion = groupBy(looks, ({ id }) => id);
  const middle = (id: string, pick: (look: RegionLook) => number): number => {
    const values = (byRegion.get(id) ?? []).map(pick).sort((first, second) => first - second);
    return values[Math.floor(values.length / 2)] ?? 0;
  };
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  const doubts: Doubt[] = [];
  for (const { region } of vials) {
    const glare = middle(region, (look) => look.glare);
    if (glare > muchGlare)
      doubts.push(warn(`${region}: ${percent(glare)} of it is glare; draw it beside the reflection`));
    if (byRegion.has(region) && middle(region, (look) => look.green) < dark)
      doubts.push(warn(`${region} is dark: more light, or a longer exposure`));
  }
  for (const { id } of rig.white) {
    const full = middle(id, (look) => look.full);
    if (full > patchTooBright)
      doubts.push(warn(`patch ${id} is overexposed (${percent(full)} at full scale): drift of the lamp hides in it`));
    const course = byRegion.get(id) ?? [];
    const start = course[0]?.green ?? 0;
    const jump = course.find(({ green }) => Math.abs(green - start) > lightJump);
    if (jump !== undefined)
      doubts.push(warn(`the light on patch ${id} changes suddenly at about ${formatDuration(jump.timeRunS)}`));
  }
  return doubts;
}
